-- home_list.sql: the homes a person may see, by name.
-- in   $1 id of the last home of the page before or null, $2 how many
-- out  one row (json); next is the id of the last one, null when nothing follows
with page as materialized (
  select h.id, h.name, h.kind, h.zone, row_number() over (order by h.name collate gw.people, h.id) as n
  from gw.home h
  left join gw.home l on l.id = $1::uuid
  where $1::uuid is null or (h.name collate gw.people, h.id) > (l.name, l.id)
  order by h.name collate gw.people, h.id
  limit $2::int + 1
), counted as (
  select a.home, count(*) as animals, max(s.level) as worst
  from gw.animal a
  join gw.animal_state s on s.animal = a.id
  where a.home = any (array(select id from page)) and a.status = 'here'
  group by a.home
), served as (
  select v.home, json_agg(json_build_object('id', p.id, 'name', p.name) order by p.name collate gw.people, p.id) as people
  from gw.serves v
  join gw.person p on p.id = v.person
  where v.home = any (array(select id from page)) and v.during @> now()
  group by v.home
)
select json_build_object(
  'homes', coalesce((
    select json_agg(json_build_object(
      'id', p.id, 'name', p.name, 'kind', p.kind, 'zone', p.zone, 'animals', coalesce(c.animals, 0),
      'worst_level', coalesce(c.worst, 'steady'), 'people', coalesce(v.people, '[]')) order by p.n)
    from page p
    left join counted c on c.home = p.id
    left join served v on v.home = p.id
    where p.n <= $2::int), '[]'),
  'next', (select p.id from page p where p.n = $2::int and exists (select from page where n > $2::int)))
