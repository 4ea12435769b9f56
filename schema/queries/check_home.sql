-- check_home.sql: may this person make a check in that home?
-- in   $1 home uuid
-- out  one row (id); no row: unknown, or not visible
select h.id from gw.home h where h.id = $1::uuid
