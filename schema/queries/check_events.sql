-- check_events.sql: the events of an animal, in order.
-- in   $1 animal uuid
-- out  rows (event, first day, last day or null), days since 1970-01-01
select e.event, lower(e.during) - date '1970-01-01', upper(e.during) - 1 - date '1970-01-01'
from gw.event e
where e.animal = $1::uuid
order by lower(e.during), e.id
