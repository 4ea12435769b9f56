-- scale_weighings.sql: what was weighed on a scale, for the engine to work out the common shift of each session.
-- in   $1 scale uuid
-- out  rows (at, microseconds since 1970, animal, species, grams, confirmed, verdict alone as json), newest first; at
--      most 600
select to_json(c.at) #>> '{}', (extract(epoch from c.at) * 1000000)::int8, c.animal, a.species, c.grams, c.confirmed, v.alone
from gw.check c
join gw.verdict v on v."check" = c.id
join gw.animal a on a.id = c.animal
where c.scale = $1::uuid
order by c.at desc, c.id
limit 600
