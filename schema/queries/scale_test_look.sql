-- scale_test_look.sql: what a test of a scale is judged by, and whether it is stored already.
-- in   $1 test uuid, $2 scale uuid
-- out  one row (scale visible, step, capacity, request hash in hexadecimal of the stored test or null)
select s.id is not null, s.step, s.capacity,
       (select encode(t.request_hash, 'hex') from gw.scale_test t where t.id = $1::uuid)
from (values (1)) as one(row)
left join gw.scale s on s.id = $2::uuid and s.retired_at is null
