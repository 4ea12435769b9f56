-- check_answer.sql: a check as it is stored, with its verdict and the alerts that it is evidence for.
-- in   $1 check uuid
-- out  one row (json, its member check alone); no row: unknown, or not visible
-- Materialized, or the planner would work the check out once for each place that it stands in.
with stored as materialized (
  select c.id, greatest(c.sign_level, v.level) as level, json_build_object(
    'id', c.id, 'animal', c.animal, 'home', c.made_in, 'kind', c.kind, 'at', c.at, 'minutes', c.minutes,
    'person', case when p.id is null then null else json_build_object('id', p.id, 'name', p.name) end,
    'answers', c.answers,
    'findings', coalesce((
      select json_agg(json_build_object('sign', f.sign, 'grade', f.grade, 'side', f.side, 'note', f.note, 'usual', f.usual)
                      order by s.position)
      from gw.finding f join gw.sign s on s.code = f.sign where f."check" = c.id), '[]'),
    'weighing', case when c.grams is null then null else json_build_object(
      'scale', c.scale, 'readings', c.readings, 'grams', c.grams, 'zeroed', c.zeroed, 'confirmed', c.confirmed) end,
    'verdict', v.body, 'note', c.note, 'received_at', c.received_at,
    'late', c.received_at - c.at > interval '1 day') as body
  from gw.check c
  left join gw.person p on p.id = c.person
  left join gw.verdict v on v."check" = c.id
  where c.id = $1::uuid
)
select json_build_object(
  'check', s.body, 'level', s.level,
  'alerts', coalesce((
    select json_agg(json_build_object('id', a.id, 'kind', a.kind, 'level', a.level, 'state', a.state) order by a.level desc, a.kind)
    from gw.alert_evidence e join gw.alert a on a.id = e.alert where e."check" = s.id), '[]')), s.body
from stored s
