-- known_normal_put.sql: write down what is usual for an animal. One for the same sign before it ends; nothing is
-- overwritten.
-- in   $1 known normal uuid, $2 animal uuid, $3 sign, $4 up to, $5 said by or null, $6 vet confirmed
-- out  one row (json or null when the id belongs to something else, fresh)
with ended as (
  update gw.known_normal k set ended_at = now()
  where k.animal = $2::uuid and k.sign = $3::text and k.ended_at is null
    and not exists (select from gw.known_normal o where o.id = $1::uuid)
  returning 1
), added as (
  insert into gw.known_normal (id, animal, home, sign, up_to, said_by, vet_confirmed, person)
  select $1::uuid, a.id, a.home, $3::text, $4::text, $5::text, $6::boolean, (select gw.me())
  from gw.animal a, (select count(*) from ended) as first  -- the old one must have ended before
  where a.id = $2::uuid and not exists (select from gw.known_normal o where o.id = $1::uuid)
  returning id, sign, up_to, said_by, vet_confirmed, recorded_at
)
select (
    select json_build_object('known_normal', json_build_object(
      'id', k.id, 'animal', $2::uuid, 'sign', k.sign, 'up_to', k.up_to, 'said_by', k.said_by,
      'vet_confirmed', k.vet_confirmed, 'recorded_at', k.recorded_at))
    from (
      select id, sign, up_to, said_by, vet_confirmed, recorded_at from added
      union all
      select o.id, o.sign, o.up_to, o.said_by, o.vet_confirmed, o.recorded_at
      from gw.known_normal o
      where o.id = $1::uuid and (o.animal, o.sign, o.up_to, o.vet_confirmed) = ($2::uuid, $3::text, $4::text, $6::boolean)
        and o.said_by is not distinct from $5::text) k),
  exists (select from added)
