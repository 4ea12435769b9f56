-- A network to measure on: homes, each with a volunteer, a scale and its share of the animals, and weekly checks of all
-- animals with verdicts in the shape that the server writes. Everything is invented and made from numbers alone.
--
--   psql -v homes=400 -v animals=2000 -v weeks=104 -v alerts=100 -f data.sql      as a superuser: no row policy
--
-- Ids can be worked out from numbers, because pgbench cannot look them up: home, scale and volunteer h, animal a of home
-- a modulo homes. The session token of volunteer p is the number p in 32 bytes; number 1000000 is a coordinator.
-- History ends 121 days ago. A benchmark's own checks come after it, twelve hours apart for one animal: as the next visit
-- to a home and not as one crowded session.
\set ON_ERROR_STOP 1
begin;
set local synchronous_commit = off;

create schema bench;
grant usage on schema bench to gramwell_app;

create function bench.id(kind text, n bigint) returns uuid language sql immutable
  return ('00000000-0000-4' || kind || '00-8000-' || lpad(to_hex(n), 12, '0'))::uuid;
create function bench.token_hash(n bigint) returns bytea language sql immutable
  return sha256(decode(lpad(to_hex(n), 64, '0'), 'hex'));
-- Evenly spread over -1 to 1, always the same for the same words.
create function bench.noise(seed text) returns float8 language sql immutable
  return hashtextextended(seed, 0)::float8 / 9.3e18;

create table bench.setting as
select date_trunc('day', now() at time zone 'UTC') at time zone 'UTC' - interval '121 days' + interval '9 hours' as base,
       :homes::int as homes, :animals::int as animals, :weeks::int as weeks;
grant select on bench.setting to gramwell_app;

insert into gw.person (id, name, role)
select bench.id('d', p), 'Volunteer ' || p, 'volunteer' from generate_series(0, :homes - 1) p
union all select bench.id('d', 1000000), 'Coordinator', 'coordinator';
insert into gw.account (person, email)
select p.id, p.id || '@bench.invalid' from gw.person p;
insert into gw.session (token_hash, person, bearer, expires_at)
select bench.token_hash(n), bench.id('d', n), true, now() + interval '30 days'
from (select generate_series(0, :homes - 1) as n union all select 1000000) t;

insert into gw.home (id, name, kind, zone)
select bench.id('b', h), 'Home ' || h, 'foster', 'Europe/London' from generate_series(0, :homes - 1) h;
insert into gw.serves (person, home, during)
select bench.id('d', h), bench.id('b', h), tstzrange(now() - interval '3 years', null) from generate_series(0, :homes - 1) h;
insert into gw.pen (id, home, name)
select bench.id('e', h), bench.id('b', h), 'Pen 1' from generate_series(0, :homes - 1) h;
insert into gw.scale (id, home, name, step, capacity)
select bench.id('c', h), bench.id('b', h), 'Kitchen scale', 1, 5000 from generate_series(0, :homes - 1) h;

insert into gw.animal (id, tag, name, species, sex, birth, birth_precision, stage, home, pen, arrived)
select bench.id('a', a), t.tag, 'Animal ' || a, 'guinea_pig', case when a % 2 = 0 then 'female' else 'male' end,
       current_date - 1500, 'month', 'adult', bench.id('b', a % :homes), bench.id('e', a % :homes), current_date - 1000
from generate_series(0, :animals - 1) a
join (select row_number() over () - 1 as place, gw.tag_text(n) as tag
      from (select n from generate_series(0, 1048575) n where n % 37 < 32 limit :animals) t) t on t.place = a;
insert into gw.stay (animal, home, pen, during)
select id, home, pen, tstzrange(arrived::timestamptz, null) from gw.animal;

create temporary table made on commit drop as
select a, a % :homes as h, w, md5('check ' || a || ' ' || w)::uuid as id, day + (a / :homes) * interval '1 minute' as at,
       round((900 + a * 37 % 200 + 6 * bench.noise(a || ' ' || w))::numeric, 0) as grams,
       (a + w) % 10 = 0 as finding
from generate_series(0, :animals - 1) a, bench.setting s, generate_series(1, :weeks) w,
     lateral (select s.base - (:weeks - w) * interval '7 days' as day) d;

insert into gw.check (id, animal, home, made_in, person, kind, at, day, minutes, answers, scale, step, readings, grams, zeroed,
                      mouth_looked, sign_level, request_hash, received_at)
select id, bench.id('a', a), bench.id('b', h), bench.id('b', h), bench.id('d', h), 'weekly', at,
       (at at time zone 'Europe/London')::date, 6, case when finding then r.found else r.usual end, bench.id('c', h), 1,
       array[grams], grams, true, 7, case when finding then 'watch' else 'steady' end::gw.level, sha256(id::text::bytea), at
from made,
  (select jsonb_object_agg(code, 'as_usual') as usual,
          jsonb_object_agg(code, case code when 'coat' then 'findings' else 'as_usual' end) as found from gw.region) r
order by at;

insert into gw.finding ("check", sign, animal, home, made_in, at, region, grade)
select id, 'rough_coat', bench.id('a', a), bench.id('b', h), bench.id('b', h), at, 'coat', 'slight' from made where finding
order by at;

insert into gw.verdict ("check", animal, home, at, level, kind, quality, body, alone, computed_at)
select id, bench.id('a', a), bench.id('b', h), at, 'steady', 'none', 'plain',
  format('{"level":"steady","kind":"none","quality":"plain","expected":%s,"low":%s,"high":%s,"sd":%s,"own_level":%s,"change_grams":%s,"change_pct":%s,"week_grams":%s,"week_pct":%s,"slope_pct_week":%s,"slope_low":%s,"slope_high":%s,"weeks_of_fall":0.0,"log_odds":-4.312,"mouth_log_odds":-5.104,"error_share":0.0012,"pattern":"none","reasons":[],"ask_second":false}',
    round(level, 1), round(level - 21, 1), round(level + 21, 1), round((sd / 97)::numeric, 4), round(level, 1), round(x, 1),
    round(x / 9, 2), round(x / 2, 1), round(x / 18, 2), round(x / 40, 2), round(x / 40 - 0.3, 2), round(x / 40 + 0.3, 2))::json,
  format('{"level":0,"kind":0,"quality":0,"pattern":0,"reasons":0,"ask_second":0,"expected":%s,"low":%s,"high":%s,"sd":%s,"own_level":%s,"change_grams":%s,"change_pct":%s,"week_grams":%s,"week_pct":%s,"slope_pct_week":%s,"slope_low":%s,"slope_high":%s,"weeks_of_fall":%s,"log_odds":%s,"mouth_log_odds":%s,"error_share":%s}',
    level + f, level - 21 + f, level + 21 + f, sd / 97, level + f, x + f, x / 9 + f, x / 2 + f, x / 18 + f, x / 40 + f,
    x / 40 - 0.3 + f, x / 40 + 0.3 + f, 0, -4.3124 + f, -5.1042 + f, sd / 8000)::json, at
from (select m.*, (900 + a * 37 % 200)::numeric as level, grams - (900 + a * 37 % 200) as x,
             10 + bench.noise('sd' || a || ' ' || w) as sd, bench.noise('f' || a || ' ' || w) / 1e4 as f from made m) m
order by at;

insert into gw.home_week (home, week, looked, found, marked)
select bench.id('b', w.h), w.week, array_agg(w.looked order by r.position),
       array_agg(case r.code when 'coat' then w.found else 0 end order by r.position), array_agg(0 order by r.position)
from (select h, date_trunc('week', at at time zone 'Europe/London')::date as week, count(*)::int as looked,
             (count(*) filter (where finding))::int as found
      from made
      group by 1, 2) w
cross join gw.region r
group by w.h, w.week;

insert into gw.animal_state (animal, home, version, checked_at, checked_on, weighed_at, grams, level, kind, due_on)
select bench.id('a', a), bench.id('b', h), :weeks, at, (at at time zone 'Europe/London')::date, at, grams, 'steady', 'none',
       current_date + 7
from made where w = :weeks;

insert into gw.alert (kind, level, animal, home, opened_at, raised_at, evidence_at, reasons, facts)
select k.kind, k.level, v.animal, v.home, v.at, v.at, v.at, '{week_pct}', v.body
from (values (0, 'loss', 'vet_soon'::gw.level), (1, 'dental', 'same_day'), (2, 'stall', 'watch')) k(turn, kind, level)
cross join made m
join gw.verdict v on v."check" = m.id
where m.w = :weeks
order by k.turn, m.a
limit :alerts;
insert into gw.alert_evidence (alert, "check", home, at, level, kind, reasons)
select a.id, v."check", a.home, a.opened_at, a.level, a.kind, a.reasons
from gw.alert a join gw.verdict v on v.animal = a.animal and v.at = a.opened_at;
commit;
