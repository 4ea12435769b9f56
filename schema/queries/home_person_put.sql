-- home_person_put.sql: let a person serve a home from a moment on, or end a service that began at that moment.
-- in   $1 home uuid, $2 person uuid, $3 from, $4 to or null: open
-- out  one row (json, fresh). A period that overlaps another one breaks serves_no_overlap.
with changed as (
  update gw.serves s set during = tstzrange($3::timestamptz, $4::timestamptz)
  where s.home = $1::uuid and s.person = $2::uuid and lower(s.during) = $3::timestamptz
    and s.during <> tstzrange($3::timestamptz, $4::timestamptz)
  returning 1
), added as (
  insert into gw.serves (person, home, during)
  select $2::uuid, $1::uuid, tstzrange($3::timestamptz, $4::timestamptz)
  where not exists (
    select from gw.serves s where s.home = $1::uuid and s.person = $2::uuid and lower(s.during) = $3::timestamptz)
  returning 1
), noted as (
  insert into gw.audit (person, what, subject, detail)
  select (select gw.me()), 'serves_set', $2::uuid,
         jsonb_build_object('home', $1::uuid, 'from', $3::timestamptz, 'to', $4::timestamptz)
  from (select from changed union all select from added) as written
)
select json_build_object('home', $1::uuid, 'person', json_build_object('id', p.id, 'name', p.name),
                         'from', $3::timestamptz, 'to', $4::timestamptz),
       exists (select from added)
from gw.person p
where p.id = $2::uuid
