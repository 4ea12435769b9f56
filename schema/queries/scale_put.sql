-- scale_put.sql: make a scale, or change it. A scale that moves takes its open alert with it.
-- in   $1 scale uuid, $2 home uuid, $3 name, $4 step, $5 capacity
-- out  one row (json, fresh); no row: the home is unknown
with put as (
  insert into gw.scale as s (id, home, name, step, capacity)
  select $1::uuid, h.id, $3::text, $4::numeric, $5::numeric from gw.home h where h.id = $2::uuid
  on conflict (id) do update
  set home = excluded.home, name = excluded.name, step = excluded.step, capacity = excluded.capacity
  returning id, home, name, step, capacity
), moved as (
  update gw.alert a set home = p.home, version = a.version + 1
  from put p
  where a.subject = p.id and a.topic = 'scale' and a.state <> 'settled' and a.home <> p.home
)
select json_build_object('scale', json_build_object(
    'id', p.id, 'home', p.home, 'home_name', h.name, 'name', p.name, 'step', p.step, 'capacity', p.capacity,
    'last_test', (
      select json_build_object('at', e.at, 'mass', e.mass, 'reading', e.reading, 'passed', e.passed)
      from gw.scale_test e where e.scale = p.id order by e.at desc, e.id limit 1))),
  not exists (select from gw.scale where id = $1::uuid)
from put p
join gw.home h on h.id = p.home
