-- known_normal_look.sql: may this be written down?
-- in   $1 animal uuid, $2 sign
-- out  one row (sign is in the catalogue for this species, person is a coordinator); no row: the animal is unknown, or
--      not visible
select exists (select from gw.sign s where s.code = $2::text and (s.species is null or a.species = any (s.species))),
       gw.coordinator()
from gw.animal a
where a.id = $1::uuid
