-- scale_test_add.sql: store the test of a scale.
-- in   $1 test uuid, $2 scale uuid, $3 at, $4 mass, $5 reading, $6 allowed error, $7 passed, $8 request hash
-- out  no row
insert into gw.scale_test (id, scale, home, at, mass, reading, allowed, passed, person, request_hash)
select $1::uuid, s.id, s.home, $3::timestamptz, $4::numeric, $5::numeric, $6::numeric, $7::boolean, (select gw.me()),
       decode($8::text, 'hex')
from gw.scale s
where s.id = $2::uuid
