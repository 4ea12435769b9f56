-- check_history_json.sql: the checks of an animal, newest first.
-- in   $1 animal uuid, $2 limit
-- out  one row (json); no row: the animal is unknown, or not visible
select json_build_object('animal', a.id, 'checks', coalesce((
  select json_agg(json_build_object(
    'id', c.id, 'animal', c.animal, 'home', c.made_in, 'kind', c.kind, 'at', c.at, 'minutes', c.minutes,
    'person', case when p.id is null then null else json_build_object('id', p.id, 'name', p.name) end,
    'answers', c.answers, 'findings', coalesce(f.list, '[]'),
    'weighing', case when c.grams is null then null else json_build_object(
      'scale', c.scale, 'readings', c.readings, 'grams', c.grams, 'zeroed', c.zeroed, 'confirmed', c.confirmed) end,
    'verdict', v.body, 'note', c.note, 'received_at', c.received_at,
    'late', c.received_at - c.at > interval '1 day') order by c.at desc, c.id)
  from (select * from gw.check where animal = a.id order by at desc, id limit $2::int) c
  left join gw.person p on p.id = c.person
  left join gw.verdict v on v."check" = c.id
  left join lateral (
    select json_agg(json_build_object('sign', f.sign, 'grade', f.grade, 'side', f.side, 'note', f.note, 'usual', f.usual)) as list
    from gw.finding f where f."check" = c.id) f on true), '[]'))
from gw.animal a
where a.id = $1::uuid
