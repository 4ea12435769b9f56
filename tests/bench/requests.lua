-- Requests for wrk. Arguments: what to ask for, homes, animals, start of the benchmark's own checks (seconds since 1970),
-- the first visit that no earlier run has used, the regions of a check separated by commas.
-- Every answer other than 200 or 201 counts as an error in wrk; the caller compares the number and size of the answers
-- with what the database holds.
local what, homes, animals, base, visit, place, regions

local alphabet = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"

-- 32 bytes that hold the number n, in base64url without padding: 43 characters of 6 bits, the last padded by two zeros.
local function token(n)
  local rest, text = n * 4, ""
  for _ = 1, 43 do
    local digit = rest % 64
    text = alphabet:sub(digit + 1, digit + 1) .. text
    rest = (rest - digit) / 64
  end
  return text
end

local function id(kind, n) return string.format("00000000-0000-4%s00-8000-%012x", kind, n) end

local function fresh_id()
  return string.format("%08x-0000-4000-8000-%06x%06x", math.random(0, 0x7fffffff) * 2 + math.random(0, 1),
                       math.random(0, 0xffffff), math.random(0, 0xffffff))
end

local tokens = {}
local function as(n)
  if not tokens[n] then tokens[n] = "Bearer " .. token(n) end
  return { ["Authorization"] = tokens[n] }
end

local function get(path, person) return wrk.format("GET", "/api/v1" .. path, as(person)) end

local asks = {}
function asks.check()
  local animal = place % animals
  local round = visit + math.floor(place / animals)
  place = place + 1
  local home, minute = animal % homes, math.floor(animal / homes)
  local at = os.date("!%Y-%m-%dT%H:%M:%SZ", base + round * 43200 + minute * 60)
  local grams = 900 + animal * 37 % 200 + math.random(-6, 6)
  local head = as(home)
  head["Content-Type"] = "application/json"
  return wrk.format("PUT", "/api/v1/checks/" .. fresh_id(), head, string.format(
    '{"animal":"%s","home":"%s","kind":"weekly","at":"%s","minutes":6,"answers":{%s},"findings":[],' ..
    '"weighing":{"scale":"%s","readings":[%d],"zeroed":true,"confirmed":false}}',
    id("a", animal), id("b", home), at, regions, id("c", home), grams))
end
function asks.round() return get("/round", math.random(0, homes - 1)) end
function asks.history()
  local animal = math.random(0, animals - 1)
  return get("/animals/" .. id("a", animal) .. "/history", animal % homes)
end
function asks.alerts() return get("/alerts", 1000000) end
function asks.findings()
  local home = math.random(0, homes - 1)
  return get("/homes/" .. id("b", home) .. "/findings?weeks=52", home)
end
local turn = 0
function asks.mixed()
  turn = turn + 1
  if turn % 8 == 1 then return asks.check() end
  if turn % 8 == 3 then return asks.round() end
  if turn % 8 == 5 then return asks.history() end
  return get("/me", math.random(0, homes - 1))
end

function init(args)
  what, homes, animals, base, visit, place = args[1], tonumber(args[2]), tonumber(args[3]), tonumber(args[4]), tonumber(args[5]), 0
  local list = {}
  for name in args[6]:gmatch("[^,]+") do list[#list + 1] = '"' .. name .. '":"as_usual"' end
  regions = table.concat(list, ",")
  math.randomseed(os.time() + visit)
end

function request() return asks[what]() end

function done(summary, latency)
  local e = summary.errors
  io.write(string.format(
    '\n{"requests":%d,"us":%d,"bytes":%d,"p50_us":%d,"p99_us":%d,"refused":%d,"broken":%d,"timeouts":%d}\n',
    summary.requests, summary.duration, summary.bytes, latency:percentile(50), latency:percentile(99), e.status,
    e.connect + e.read + e.write, e.timeout))
end
