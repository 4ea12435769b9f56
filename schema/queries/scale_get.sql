-- scale_get.sql: one scale with its tests and open alert.
-- in   $1 scale uuid
-- out  one row (json); no row: unknown, or not visible. At most 100 tests, the newest.
select json_build_object(
  'id', c.id, 'home', c.home, 'home_name', h.name, 'name', c.name, 'step', c.step, 'capacity', c.capacity,
  'retired_at', c.retired_at,
  'last_test', (
    select json_build_object('at', e.at, 'mass', e.mass, 'reading', e.reading, 'passed', e.passed)
    from gw.scale_test e where e.scale = c.id order by e.at desc, e.id limit 1),
  'open_alerts', coalesce((
    select json_agg(json_build_object('id', a.id, 'kind', a.kind, 'level', a.level, 'state', a.state, 'reasons', a.reasons))
    from gw.alert a where a.subject = c.id and a.topic = 'scale' and a.state <> 'settled'), '[]'),
  'tests', coalesce((
    select json_agg(json_build_object(
      'id', t.id, 'at', t.at, 'mass', t.mass, 'reading', t.reading, 'allowed_error', t.allowed, 'passed', t.passed,
      'person', case when p.id is null then null else json_build_object('id', p.id, 'name', p.name) end) order by t.at desc, t.id)
    from (select * from gw.scale_test e where e.scale = c.id order by e.at desc, e.id limit 100) t
    left join gw.person p on p.id = t.person), '[]'))
from gw.scale c
join gw.home h on h.id = c.home
where c.id = $1::uuid
