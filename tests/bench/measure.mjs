// Measures a running cluster with the network of data.sql: the server under wrk beside pgbench, in turn. Called by tests/bench/run.
import { spawn, execFileSync } from 'node:child_process';
import { readFileSync, writeFileSync, readdirSync, rmSync, mkdirSync } from 'node:fs';
import { join, dirname } from 'node:path';
import { fileURLToPath } from 'node:url';
import { cpus, totalmem } from 'node:os';
import { script, statement, work, constants } from './statements.mjs';

const here = dirname(fileURLToPath(import.meta.url)), root = join(here, '../..');
const options = JSON.parse(process.env.GW_BENCH);
const { sockets, postmaster, state, seconds, rounds } = options;
const network = JSON.parse(sql("select json_build_object('homes', homes, 'animals', animals, 'weeks', weeks, 'base', extract(epoch from base)::int8, " +
  "'alerts', (select count(*) from gw.alert), 'regions', (select json_agg(code order by position) from gw.region)) from bench.setting"));
const coordinator = 1000000;
const WARM_S = 2, OTHERS_LIMIT = 0.25;

// ---- small helpers ----

function sql(text) {
  return execFileSync('psql', ['--no-psqlrc', '-qAtX', '-v', 'ON_ERROR_STOP=1', '-h', sockets, '-U', 'gramwell_admin', '-d', 'bench', '-c', text],
    { encoding: 'utf8', maxBuffer: 1e8, timeout: 600e3 }).trim();
}
const median = (list) => { const s = [...list].sort((a, b) => a - b); return s.length % 2 ? s[(s.length - 1) / 2] : (s[s.length / 2 - 1] + s[s.length / 2]) / 2; };
const at = (sorted, share) => sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))];
const pause = (ms) => new Promise((resolve) => { setTimeout(resolve, ms); });
const bytesOf = (n) => { let hex = n.toString(16).padStart(64, '0'); return Buffer.from(hex, 'hex').toString('base64url'); };
const id = (kind, n) => `00000000-0000-4${kind}00-8000-${n.toString(16).padStart(12, '0')}`;

// A child with a time limit; resolves to what it printed, or rejects with it.
function run(command, args, limitS, env = {}) {
  return new Promise((resolve, reject) => {
    const child = spawn(command, args, { stdio: ['ignore', 'pipe', 'pipe'], env: { ...process.env, ...env } });
    let out = '', err = '';
    const timer = setTimeout(() => child.kill('SIGKILL'), limitS * 1000);
    child.stdout.on('data', (d) => { out += d; });
    child.stderr.on('data', (d) => { err += d; });
    child.on('error', reject);
    child.on('close', (code) => {
      clearTimeout(timer);
      if (code === 0) resolve(out); else reject(new Error(`${command} ended with ${code}: ${err.trim().split('\n').slice(-3).join(' | ')}`));
    });
  });
}

// ---- processor time, in seconds ----

const TICK = Number(execFileSync('getconf', ['CLK_TCK'], { encoding: 'utf8' }));
function stat(pid) {
  try {
    const text = readFileSync(`/proc/${pid}/stat`, 'utf8'), f = text.slice(text.lastIndexOf(')') + 2).split(' ');
    return { parent: Number(f[1]), own: (Number(f[11]) + Number(f[12])) / TICK, dead: (Number(f[13]) + Number(f[14])) / TICK };
  } catch { return null; }
}
function clock(server) {
  let database = 0;
  for (const pid of readdirSync('/proc')) {
    if (!/^\d+$/.test(pid)) continue;
    const s = stat(pid);
    if (!s) continue;
    if (Number(pid) === postmaster) database += s.own + s.dead;
    else if (s.parent === postmaster) database += s.own;
  }
  const me = stat(process.pid), line = readFileSync('/proc/stat', 'utf8').split('\n')[0].trim().split(/\s+/).slice(1).map(Number);
  return { wall: Date.now() / 1000, database, server: server ? stat(server.pid).own : 0, client: me.dead, me: me.own,
    busy: (line[0] + line[1] + line[2] + line[5] + line[6]) / TICK };
}
function since(a, b) {
  const d = Object.fromEntries(Object.keys(a).map((k) => [k, b[k] - a[k]]));
  d.others = Math.max(0, d.busy - d.database - d.server - d.client - d.me) / (d.wall * cpus().length);
  return d;
}
// The share of the machine that others use is waited for to fall, but not for ever.
async function quiet(server) {
  for (let i = 0; i < 12; i++) {
    const a = clock(server);
    await pause(250);
    if (since(a, clock(server)).others < OTHERS_LIMIT / 2) return;
  }
}

// ---- the server ----

function startServer() {
  const began = process.hrtime.bigint();
  const child = spawn(options.gramwelld, ['serve'], { stdio: ['ignore', 'ignore', 'pipe'], env: { ...process.env, GRAMWELL_LISTEN: '127.0.0.1:0',
    GRAMWELL_DATABASE: `host=${sockets} dbname=bench user=gramwell_app`, GRAMWELL_WEB: state } });
  return new Promise((resolve, reject) => {
    let text = '', ready = false;
    const timer = setTimeout(() => { child.kill('SIGKILL'); reject(new Error(`the server was not ready in 20 s: ${text}`)); }, 20000);
    child.stderr.on('data', (d) => {
      if (ready) return;
      text += d;
      const m = /ready.*address="?([0-9.:]+)/.exec(text);
      if (!m) return;
      ready = true;
      clearTimeout(timer);
      child.readyMs = Number(process.hrtime.bigint() - began) / 1e6;
      child.url = `http://${m[1]}`;
      resolve(child);
    });
    child.on('exit', (code) => { child.gone = true; if (!ready) { clearTimeout(timer); reject(new Error(`the server ended with ${code}: ${text}`)); } });
  });
}
async function stopServer(child) {
  if (!child || child.gone) return;
  const gone = new Promise((resolve) => { child.on('exit', resolve); });
  const timer = setTimeout(() => child.kill('SIGKILL'), 15000);
  child.kill('SIGTERM');
  await gone;
  clearTimeout(timer);
}
function memory(server) {
  const text = readFileSync(`/proc/${server.pid}/status`, 'utf8');
  const mb = (name) => Math.round(Number(new RegExp(`${name}:\\s+(\\d+)`).exec(text)[1]) / 102.4) / 10;
  return { resident: mb('VmRSS'), anonymous: mb('RssAnon'), peak: mb('VmHWM') };
}

// ---- what is answered, before anything is timed ----

const paths = { round: '/round', history: `/animals/${id('a', 7)}/history`, alerts: '/alerts', findings: `/homes/${id('b', 7 % network.homes)}/findings?weeks=52` };
async function verify(server) {
  const sizes = {};
  const must = (holds, words) => { if (!holds) throw new Error(`an answer is not what it should be: ${words}`); };
  for (const [what, path] of Object.entries(paths)) {
    const person = what === 'alerts' ? coordinator : 7 % network.homes;
    const answer = await fetch(`${server.url}/api/v1${path}`, { headers: { Authorization: `Bearer ${bytesOf(person)}` } });
    const text = await answer.text();
    must(answer.status === 200, `${path}: ${answer.status} ${text.slice(0, 200)}`);
    const body = JSON.parse(text);
    if (what === 'round') {
      const animals = body.homes.flatMap((h) => h.pens.flatMap((p) => p.animals));
      must(animals.length >= Math.floor(network.animals / network.homes), `${animals.length} animals in the round`);
      must(animals.every((a) => a.weighings.length === Math.min(60, network.weeks) && a.last_check), 'weighings are missing in the round');
    }
    if (what === 'history') must(body.checks.length === Math.min(104, network.weeks) && body.checks[0].verdict, `${body.checks.length} checks in the history`);
    if (what === 'alerts') must(body.alerts.length === network.alerts, `${body.alerts.length} alerts of ${network.alerts}`);
    if (what === 'findings') must(body.strokes.length > 0 && body.regions.length === network.regions.length, 'no findings of the home');
    sizes[what] = Buffer.byteLength(text);

    // pgbench's statement must give the same number of bytes, give or take an instant's digits.
    const values = { ...constants(network), home: 7 % network.homes, animal: 7 };
    const [name, ...params] = work[what].pipelines[0][0];
    const put = (s) => s.replace(/(?<!:):([a-z]+)/g, (_, v) => `'${values[v]}'`);
    const token = person.toString(16).padStart(64, '0');
    const size = Number(execFileSync('psql', ['--no-psqlrc', '-qAtX', '-v', 'ON_ERROR_STOP=1', '-h', sockets, '-U', 'gramwell_app', '-d', 'bench'], { encoding: 'utf8',
      input: `begin; select count(*) from gw.session_enter(sha256(decode('${token}', 'hex')), 'volunteer') \\g /dev/null\nselect octet_length(t::text) from (${put(statement(root, name, params))}) as x(t); commit;` }).trim());
    must(Math.abs(size - sizes[what]) < 64, `${what} has ${sizes[what]} bytes from the server and ${size} from pgbench's statement`);
  }
  return sizes;
}

// ---- cells ----

const nextVisit = () => Number(sql(`select floor(extract(epoch from max(checked_at) - base) / 43200)::int + 1 from gw.animal_state, bench.setting group by base`));
const stored = () => JSON.parse(sql(`select json_build_array((select count(*) from gw.check), (select count(*) from gw.verdict))`));

// Checks of earlier cells are taken away before histories become much longer than they were.
function freshen(most) {
  if (nextVisit() <= most) return;
  sql(`delete from gw.check using bench.setting where at > base + interval '6 hours'`);
  sql(`update gw.animal_state s set checked_at = c.at, checked_on = c.day, weighed_at = c.at, grams = c.grams, level = 'steady', kind = 'none' ` +
      `from bench.setting b, gw.check c where c.animal = s.animal and c.at >= b.base and c.at < b.base + interval '6 hours'`);
  for (const table of ['gw.check', 'gw.verdict', 'gw.animal_state', 'gw.home_week', 'gw.alert']) sql(`vacuum analyze ${table}`);
  sql('checkpoint');
}

async function wrk(server, what, connections, time, visit) {
  const out = await run('wrk', ['-t1', `-c${connections}`, `-d${time}s`, '--timeout', '10s', '--latency', '-s', join(here, 'requests.lua'), server.url, '--', what,
    network.homes, network.animals, network.base, visit, network.regions.join(',')].map(String), time + 20);
  return JSON.parse(out.trim().split('\n').pop());
}
async function viaServer(server, what, connections, sizes) {
  if (what === 'check') freshen(40);
  await wrk(server, what, connections, 1, what === 'check' ? nextVisit() : 0);
  const visit = what === 'check' ? nextVisit() : 0, before = what === 'check' ? stored() : null;
  await quiet(server);
  const a = clock(server), r = await wrk(server, what, connections, seconds, visit), used = since(a, clock(server));
  const faults = [];
  if (r.refused || r.broken || r.timeouts) faults.push(`${r.refused} refused, ${r.broken} broken, ${r.timeouts} timed out`);
  if (what === 'check') {
    const after = stored(), rows = after.map((n, i) => n - before[i]);
    // What was under way when wrk ended was stored too, though nobody waited for the answer.
    if (rows[0] !== rows[1] || rows[0] < r.requests - r.refused || rows[0] > r.requests + connections) faults.push(`${r.requests} answers, ${rows[0]} checks and ${rows[1]} verdicts stored`);
  } else if (r.bytes / r.requests < 0.7 * sizes[what]) faults.push(`answers of ${Math.round(r.bytes / r.requests)} bytes, expected about ${sizes[what]}`);
  return { rate: r.requests / (r.us / 1e6), p50: r.p50_us, p99: r.p99_us, faults, others: used.others, memory: memory(server),
    cpu: { server: 1e6 * used.server / r.requests, database: 1e6 * used.database / r.requests, client: 1e6 * used.client / r.requests } };
}

async function viaPgbench(what, connections) {
  if (what === 'check') freshen(40);
  const file = join(state, `${what}.pgbench`), logs = join(state, 'transactions');
  rmSync(logs, { recursive: true, force: true });
  mkdirSync(logs);
  writeFileSync(file, script(root, what));
  const variables = { ...constants(network), k: -1, clients: connections, visit: what === 'check' ? nextVisit() : 0, role: 'volunteer' };
  const before = what === 'check' ? stored() : null;
  await quiet(null);
  const a = clock(null);
  await run('pgbench', ['-n', '-M', 'prepared', '-c', connections, '-j', 1, '-T', seconds + WARM_S, '-l', '--log-prefix', join(logs, 't'), '-f', file,
    ...Object.entries(variables).flatMap(([k, v]) => ['-D', `${k}=${v}`]), '-h', sockets, '-U', 'gramwell_app', 'bench'].map(String), seconds + 20,
  { PGOPTIONS: '-c plan_cache_mode=force_generic_plan -c jit=off -c timezone=UTC' });
  const used = since(a, clock(null)), times = [], ends = [], clients = new Map();
  for (const name of readdirSync(logs)) {
    for (const line of readFileSync(join(logs, name), 'utf8').split('\n')) {
      const f = line.split(' ');
      if (f.length < 6) continue;
      times.push(Number(f[2]));
      ends.push(Number(f[4]) + Number(f[5]) / 1e6);
      clients.set(f[0], [...(clients.get(f[0]) ?? []), ends.at(-1)].slice(0, 3));
    }
  }
  // A fresh connection plans its statements at the first turn: counting begins when all have had three.
  const first = Math.max(Math.min(...ends) + 0.5, ...[...clients.values()].map((turns) => turns.at(-1))), last = Math.max(...ends);
  const kept = times.filter((_, i) => ends[i] > first).sort((x, y) => x - y);
  const faults = [];
  if (what === 'check') {
    const rows = stored().map((n, i) => n - before[i]);
    if (rows[0] !== times.length || rows[1] !== times.length) faults.push(`${times.length} transactions, ${rows[0]} checks and ${rows[1]} verdicts stored`);
  }
  if (clients.size < connections || kept.length < connections) faults.push(`only ${kept.length} transactions of ${clients.size} clients`);
  return { rate: kept.length / (last - first), p50: at(kept, 0.5), p99: at(kept, 0.99), faults, others: used.others,
    cpu: { database: 1e6 * used.database / times.length, client: 1e6 * used.client / times.length } };
}

// ---- all together ----

const round1 = (x) => Math.round(x * 10) / 10, round2 = (x) => Math.round(x * 100) / 100;
async function compare(server, sizes, result) {
  for (let round = 0; round < rounds; round++) {
    for (const connections of options.connections) {
      for (const what of options.what) {
        const cell = (result.cells[`${what} ${connections}`] ??= { what, connections, rounds: [] }), pair = {};
        const order = (round + result.turn++) % 2 ? ['server', 'pgbench'] : ['pgbench', 'server'];
        for (const side of order) pair[side] = side === 'server' ? await viaServer(server, what, connections, sizes) : await viaPgbench(what, connections);
        pair.ratio = pair.server.rate / pair.pgbench.rate;
        for (const side of order) for (const words of pair[side].faults) result.faults.push(`${what} at ${connections}, ${side}: ${words}`);
        cell.rounds.push(pair);
        process.stderr.write(`${round + 1}/${rounds} ${what.padEnd(8)} at ${String(connections).padStart(2)}: ${Math.round(pair.server.rate)} beside ${Math.round(pair.pgbench.rate)}: ${pair.ratio.toFixed(2)}` +
          `   others ${Math.round(100 * pair.server.others)} and ${Math.round(100 * pair.pgbench.others)} %\n`);
      }
    }
  }
  for (const cell of Object.values(result.cells)) {
    const still = cell.rounds.filter((r) => r.server.others < OTHERS_LIMIT && r.pgbench.others < OTHERS_LIMIT);
    const counted = still.length >= 2 ? still : cell.rounds;
    cell.busy = still.length < 2;
    cell.ratio = round2(median(counted.map((r) => r.ratio)));
    cell.least = round2(Math.min(...counted.map((r) => r.ratio)));
    cell.most = round2(Math.max(...counted.map((r) => r.ratio)));
  }
}
const aims = { check: { 1: 0.85, 8: 1.0, 32: 1.9 } };
const aimOf = (what, n) => (what === 'check' ? aims.check[n] : { 8: 0.7, 32: 1.0 }[n]);
function table(result) {
  const lines = ['| what | connections | ratio (least - most) | aim | a second | p50 ms | p99 ms | pgbench p50 / p99 ms | CPU us: server + database + client | pgbench: database + client |',
    '| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |'];
  for (const what of options.what) {
    for (const n of options.connections) {
      const c = result.cells[`${what} ${n}`], m = (f) => median(c.rounds.map(f)), ms = (f) => (m(f) / 1000).toFixed(1), us = (f) => Math.round(m(f));
      lines.push(`| ${what} | ${n} | ${c.ratio.toFixed(2)} (${c.least.toFixed(2)} - ${c.most.toFixed(2)})${c.busy ? ' busy' : ''} | ${aimOf(what, n) ?? '-'} | ${us((r) => r.server.rate)} beside ${us((r) => r.pgbench.rate)} | ` +
        `${ms((r) => r.server.p50)} | ${ms((r) => r.server.p99)} | ${ms((r) => r.pgbench.p50)} / ${ms((r) => r.pgbench.p99)} | ` +
        `${us((r) => r.server.cpu.server)} + ${us((r) => r.server.cpu.database)} + ${us((r) => r.server.cpu.client)} | ${us((r) => r.pgbench.cpu.database)} + ${us((r) => r.pgbench.cpu.client)} |`);
    }
  }
  return lines.join('\n');
}

async function startUp(result) {
  const times = [];
  for (let i = 0; i < 7; i++) {
    const child = await startServer();
    times.push(child.readyMs);
    if (i === 0) result.memory.atStart = memory(child);
    await stopServer(child);
  }
  result.startMs = { median: round1(median(times)), least: round1(Math.min(...times)), most: round1(Math.max(...times)) };
}

// Memory after a number of requests: one check, one round, one history and five smaller ones in eight.
async function many(server, result, requests) {
  const seen = [], began = Date.now();
  let done = 0, refused = 0;
  while (done < requests && Date.now() - began < options.limit * 1000) {
    freshen(60);
    const r = await wrk(server, 'mixed', 64, 20, nextVisit());
    done += r.requests;
    refused += r.refused + r.broken + r.timeouts;
    seen.push({ requests: done, ...memory(server) });
    process.stderr.write(`${done} requests: ${JSON.stringify(seen.at(-1))}\n`);
  }
  result.memory.million = { requests: done, refused, connections: 64, seconds: Math.round((Date.now() - began) / 1000), course: seen };
  if (refused) result.faults.push(`${refused} of ${done} requests failed`);
}

const result = { when: new Date().toISOString(), commit: execFileSync('git', ['-C', root, 'rev-parse', '--short', 'HEAD'], { encoding: 'utf8' }).trim(),
  machine: `${cpus().length} x ${cpus()[0].model.trim()}, ${Math.round(totalmem() / 2 ** 30)} GB`, postgresql: sql('show server_version'),
  settings: Object.fromEntries(['fsync', 'synchronous_commit', 'shared_buffers', 'max_wal_size'].map((s) => [s, sql(`show ${s}`)])),
  size: sql(`select pg_size_pretty(pg_database_size('bench'))`), network: { ...network, regions: network.regions.length }, seconds, rounds, memory: {}, cells: {}, faults: [], turn: 0 };
let server;
process.on('SIGTERM', () => { server?.kill('SIGTERM'); process.exit(143); });
try {
  await startUp(result);
  server = await startServer();
  const sizes = result.bytes = await verify(server);
  if (options.what.length) await compare(server, sizes, result);
  result.memory.afterCells = memory(server);
  if (options.million) await many(server, result, options.million);
} finally {
  await stopServer(server);
}
writeFileSync(join(state, 'results.json'), `${JSON.stringify(result, null, 1)}\n`);
console.log(`\n${result.when}, commit ${result.commit}, ${result.machine}, PostgreSQL ${result.postgresql}, fsync ${result.settings.fsync}`);
console.log(`${network.animals} animals in ${network.homes} homes, ${network.weeks} checks each (${result.size}); ${rounds} rounds of ${seconds} s\n`);
if (options.what.length) console.log(table(result));
console.log(`\nready after ${result.startMs.median} ms (${result.startMs.least} to ${result.startMs.most}); memory in MB: ${JSON.stringify({ ...result.memory, million: undefined })}`);
if (result.memory.million) console.log(`after ${result.memory.million.requests} requests at 64 connections: ${JSON.stringify(result.memory.million.course.at(-1))}`);
for (const words of result.faults) console.log(`FAULT ${words}`);
process.exitCode = result.faults.length ? 1 : 0;
