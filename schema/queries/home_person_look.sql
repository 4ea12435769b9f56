-- home_person_look.sql: are home and person there?
-- in   $1 home uuid, $2 person uuid
-- out  one row (home is there, person is there and not disabled)
select exists (select from gw.home where id = $1::uuid),
       exists (select from gw.person where id = $2::uuid and disabled_at is null)
