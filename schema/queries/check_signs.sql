-- check_signs.sql: what the catalogue and this animal's known normals say of signs.
-- in   $1 sign codes as a text array, $2 animal uuid, $3 species, $4 grades in the same order
-- out  a row for each code that the catalogue has for the species, with its position from 1 (position, region, level,
--      group, window in days, dangerous to people, usual for this animal)
select t.position, s.region, s.level, s.sign_group, g.window_days, coalesce(g.to_people, false),
       s.usual or exists (
         select from gw.known_normal k
         where k.animal = $2::uuid and k.sign = s.code and k.ended_at is null
           and (k.up_to = 'marked' or t.grade = 'slight')
           and (k.vet_confirmed or not s.vet_only_normal))
from unnest($1::text[], $4::text[]) with ordinality as t(code, grade, position)
join gw.sign s on s.code = t.code
left join gw.sign_group g on g.code = s.sign_group
where s.species is null or $3::text = any (s.species)
order by t.position
