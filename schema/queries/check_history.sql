-- check_history.sql: the weighings of an animal for the engine, oldest first.
-- in   $1 animal uuid
-- out  rows (check, microseconds since 1970, grams, second reading or null, step, scale, confirmed, mouth looked,
--      mouth seen, set aside by its session, level of its verdict); at most the last 520: ten years of weeks
select h.id, (extract(epoch from h.at) * 1000000)::int8, h.grams, h.readings[2], h.step, h.scale, h.confirmed,
       h.mouth_looked, h.mouth_seen, coalesce(v.by_session, false), coalesce(v.level, 'steady')
from (select c.id, c.at, c.grams, c.readings, c.step, c.scale, c.confirmed, c.mouth_looked, c.mouth_seen
      from gw.check c
      where c.animal = $1::uuid and c.grams is not null
      order by c.at desc, c.id desc
      limit 520) h
left join gw.verdict v on v."check" = h.id
order by h.at, h.id
