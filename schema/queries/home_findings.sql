-- home_findings.sql: where on the body findings were seen in a home, week by week, beside what the rest of the network
-- would lead one to expect.
-- in   $1 home uuid, $2 weeks back from this one
-- out  one row (json); no row: unknown, or not visible. At most 1000 strokes, the newest.
with here as (
  select h.id, h.zone, date_trunc('week', now() at time zone h.zone)::date as this_week
  from gw.home h
  where h.id = $1::uuid
), span as (
  select (this_week - 7 * ($2::int - 1)) as first_week, this_week from here
), weeks as (
  select w::date as week from span, generate_series(first_week::timestamp, this_week::timestamp, interval '7 days') as w
), rates as materialized (
  select r.region_position, case when r.looked > 0 then r.found::numeric / r.looked end as rate
  from span, gw.rest_rates($1::uuid, first_week) r
), counts as (
  select hw.week, t.position, t.looked, t.found, t.marked
  from span, gw.home_week hw, unnest(hw.looked, hw.found, hw.marked) with ordinality as t(looked, found, marked, position)
  where hw.home = $1::uuid and hw.week >= first_week
), strokes as (
  select f."check", f.sign, f.grade, f.region, f.animal, f.at, date_trunc('week', f.at at time zone h.zone)::date as week
  from here h, span, gw.finding f
  where f.made_in = h.id and f.at >= (span.first_week::timestamp at time zone h.zone) and not f.usual
  order by f.at desc, f."check", f.sign
  limit 1000
)
select json_build_object(
  'home', here.id,
  'weeks', (select json_agg(week order by week) from weeks),
  'regions', (
    select json_agg(json_build_object('region', r.code, 'cells', (
      select json_agg(json_build_object(
        'week', w.week, 'looked', coalesce(c.looked, 0), 'found', coalesce(c.found, 0), 'marked', coalesce(c.marked, 0),
        'expected', round(coalesce(c.looked, 0) * e.rate, 2)) order by w.week)
      from weeks w
      left join counts c on c.week = w.week and c.position = r.position
      left join rates e on e.region_position = r.position)) order by r.position)
    from gw.region r),
  'strokes', coalesce((
    select json_agg(json_build_object(
      'week', s.week, 'region', s.region, 'animal', s.animal, 'name', a.name, 'sign', s.sign, 'grade', s.grade,
      'check', s."check", 'at', s.at) order by s.at, s."check", s.sign)
    from strokes s
    join gw.animal a on a.id = s.animal), '[]'))
from here
