-- event_put.sql: write down an event of an animal, or say when one ended (intake staff and coordinators).
-- in   $1 event uuid, $2 animal uuid, $3 event, $4 first day, $5 last day or null: open, $6 note or null
-- out  one row (animal visible, json or null when the id belongs to something else, fresh)
with period as (
  select daterange($4::date, $5::date, '[]') as during
), added as (
  insert into gw.event (id, animal, home, event, during, note, person)
  select $1::uuid, a.id, a.home, $3::text, p.during, $6::text, (select gw.me())
  from gw.animal a, period p
  where a.id = $2::uuid and not exists (select from gw.event o where o.id = $1::uuid)
  returning id, event, during, note
), ended as (
  update gw.event e set during = p.during
  from period p
  where e.id = $1::uuid and e.animal = $2::uuid and e.event = $3::text and lower(e.during) = $4::date
    and e.note is not distinct from $6::text and e.during <> p.during
  returning e.id, e.event, e.during, e.note
)
select exists (select from gw.animal where id = $2::uuid), (
    select json_build_object('event', json_build_object(
      'id', k.id, 'animal', $2::uuid, 'event', k.event, 'from', lower(k.during), 'to', upper(k.during) - 1, 'note', k.note))
    from (
      select id, event, during, note from added
      union all
      select id, event, during, note from ended
      union all
      select o.id, o.event, o.during, o.note
      from gw.event o, period p
      where o.id = $1::uuid and (o.animal, o.event, o.during) = ($2::uuid, $3::text, p.during)
        and o.note is not distinct from $6::text) k),
  exists (select from added)
