-- check_subject.sql: an animal as the engine needs it.
-- in   $1 animal uuid
-- out  one row; no row: unknown, not visible, or no longer here
select s.version, a.species, a.sex, a.stage, a.birth - date '1970-01-01', a.arrived - date '1970-01-01',
       a.adult_grams, greatest(-1.5, least(1.5, a.sensitivity + n.sensitivity)), a.home
from gw.animal a
join gw.animal_state s on s.animal = a.id
cross join gw.network n
where a.id = $1::uuid and a.status = 'here'
