-- animal_list.sql: find animals by name, tag or home, by name.
-- in   $1 home uuid or null, $2 part of the name or null, $3 tag as printed or null, $4 id of the last animal of
--      the page before or null, $5 how many
-- out  one row (json); next is the id of the last one, null when nothing follows
with page as materialized (
  select a.id, a.tag, a.name, a.species, a.sex, a.stage, a.birth, a.coat, a.markings, a.status, a.home, a.pen,
         row_number() over (order by a.name, a.id) as n
  from gw.animal a
  where ($1::uuid is null or a.home = $1::uuid)
    and ($2::text is null or position(lower($2::text) in lower(a.name)) > 0 or a.tag = $3::text)
    -- no "or": a row comparison with one value walks the index; '' sorts before every name
    and (a.name, a.id) > (coalesce((select l.name from gw.animal l where l.id = $4::uuid), ''),
                          coalesce($4::uuid, '00000000-0000-0000-0000-000000000000'))
    and ($4::uuid is null or exists (select from gw.animal l where l.id = $4::uuid))
  order by a.name, a.id
  limit $5::int + 1
)
select json_build_object(
  'animals', coalesce((
    select json_agg(json_build_object(
      'id', a.id, 'tag', a.tag, 'name', a.name, 'species', a.species, 'sex', a.sex, 'stage', a.stage, 'birth', a.birth,
      'coat', a.coat, 'markings', a.markings, 'status', a.status, 'home', a.home, 'home_name', h.name, 'pen', a.pen,
      'pen_name', p.name, 'level', s.level, 'due_on', s.due_on,
      'last', case when s.grams is null then null else json_build_object('at', s.weighed_at, 'grams', s.grams) end)
      order by a.n)
    from page a
    left join gw.animal_state s on s.animal = a.id
    left join gw.home h on h.id = a.home
    left join gw.pen p on p.id = a.pen
    where a.n <= $5::int), '[]'),
  'next', (select p.id from page p where p.n = $5::int and exists (select from page where n > $5::int)))
