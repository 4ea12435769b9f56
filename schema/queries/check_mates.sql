-- check_mates.sql: the other animals of the session: weighed on this scale within four hours, the latest weight of each.
-- in   $1 scale uuid, $2 at timestamptz, $3 animal uuid
-- out  rows (check, species, grams, confirmed, verdict alone as json, level, kind, quality, by_session)
select distinct on (c.animal) c.id, a.species, c.grams, c.confirmed, v.alone, v.level, v.kind, v.quality, v.by_session
from gw.check c
join gw.verdict v on v."check" = c.id
join gw.animal a on a.id = c.animal
where c.scale = $1::uuid
  and c.at between $2::timestamptz - interval '4 hours' and $2::timestamptz + interval '4 hours'
  and c.animal <> $3::uuid
order by c.animal, c.at desc, c.id
