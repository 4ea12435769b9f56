-- scale_list.sql: the scales in use in the homes a person may see, with the newest test of each.
-- in   $1 home uuid or null: all, $2 id of the last scale of the page before or null, $3 how many
-- out  one row (json); next is the id of the last one, null when nothing follows
with last as (
  select h.name as home_name, c.name, c.id
  from gw.scale c join gw.home h on h.id = c.home
  where c.id = $2::uuid
), page as materialized (
  select c.id, c.home, h.name as home_name, c.name, c.step, c.capacity,
         row_number() over (order by h.name collate gw.people, c.name collate gw.people, c.id) as n
  from gw.scale c
  join gw.home h on h.id = c.home
  left join last l on true
  where c.retired_at is null and ($1::uuid is null or c.home = $1::uuid)
    and ($2::uuid is null
         or (h.name collate gw.people, c.name collate gw.people, c.id) > (l.home_name, l.name, l.id))
  order by h.name collate gw.people, c.name collate gw.people, c.id
  limit $3::int + 1
)
select json_build_object(
  'scales', coalesce((
    select json_agg(json_build_object(
      'id', p.id, 'home', p.home, 'home_name', p.home_name, 'name', p.name, 'step', p.step, 'capacity', p.capacity,
      'last_test', t.test) order by p.n)
    from page p
    left join lateral (
      select json_build_object('at', e.at, 'mass', e.mass, 'reading', e.reading, 'passed', e.passed) as test
      from gw.scale_test e where e.scale = p.id order by e.at desc, e.id limit 1) t on true
    where p.n <= $3::int), '[]'),
  'next', (select p.id from page p where p.n = $3::int and exists (select from page where n > $3::int)))
