-- home_get.sql: one home with its people, pens, animals and scales.
-- in   $1 home uuid
-- out  one row (json); no row: unknown, or not visible. At most 500 animals.
with animals as (
  select a.pen, json_build_object(
    'id', a.id, 'tag', a.tag, 'name', a.name, 'species', a.species, 'sex', a.sex, 'stage', a.stage, 'birth', a.birth,
    'coat', a.coat, 'markings', a.markings, 'status', a.status, 'home', a.home, 'home_name', h.name, 'pen', a.pen,
    'pen_name', p.name, 'level', s.level, 'due_on', s.due_on,
    'last', case when s.grams is null then null else json_build_object('at', s.weighed_at, 'grams', s.grams) end) as summary,
    a.name, a.id
  from gw.animal a
  join gw.animal_state s on s.animal = a.id
  join gw.home h on h.id = a.home
  left join gw.pen p on p.id = a.pen
  where a.home = $1::uuid and a.status = 'here'
  order by a.name, a.id
  limit 500
), by_pen as (
  select pen, json_agg(summary order by name collate gw.people, id) as list from animals group by pen
)
select json_build_object(
  'home', json_build_object('id', h.id, 'name', h.name, 'kind', h.kind, 'zone', h.zone, 'note', h.note),
  'people', coalesce((
    select json_agg(json_build_object('id', p.id, 'name', p.name, 'role', p.role, 'from', lower(v.during),
      'to', upper(v.during), 'cover', v.cover) order by p.name collate gw.people, p.id)
    from gw.serves v
    join gw.person p on p.id = v.person
    where v.home = h.id and (upper_inf(v.during) or upper(v.during) > now())), '[]'),
  'pens', coalesce((
    select json_agg(json_build_object('id', q.id, 'name', q.name, 'animals', coalesce(b.list, '[]'))
                    order by q.id is null, q.name collate gw.people, q.id)
    from (select id, name from gw.pen where home = h.id
          union all
          select null, null where exists (select from by_pen where pen is null)) q
    left join by_pen b on b.pen is not distinct from q.id), '[]'),
  'scales', coalesce((
    select json_agg(json_build_object(
      'id', c.id, 'home', c.home, 'home_name', h.name, 'name', c.name, 'step', c.step, 'capacity', c.capacity,
      'last_test', t.test) order by c.name collate gw.people, c.id)
    from gw.scale c
    left join lateral (
      select json_build_object('at', e.at, 'mass', e.mass, 'reading', e.reading, 'passed', e.passed) as test
      from gw.scale_test e where e.scale = c.id order by e.at desc, e.id limit 1) t on true
    where c.home = h.id and c.retired_at is null), '[]'))
from gw.home h
where h.id = $1::uuid
