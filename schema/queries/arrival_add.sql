-- arrival_add.sql: an animal and how it came: animal, state, stay and arrival.
-- in   $1 arrival uuid, $2 kind, $3 at, $4 from whom or null, $5 note or null, $6 request hash in hexadecimal,
--      $7 home, $8 pen or null, $9 animal uuid, $10 name, $11 species, $12 sex, $13 neutered or null, $14 birth or null,
--      $15 how sure, $16 stage, $17 coat, $18 markings, $19 chip, $20 note of the animal, $21 day of the arrival or
--      null: born here
-- out  no row
with animal as (
  insert into gw.animal (id, name, species, sex, neutered, birth, birth_precision, stage, coat, markings, chip, note, home,
                         pen, arrived, check_every_days)
  select $9::uuid, $10::text, s.code, $12::text, $13::boolean, $14::date, $15::text, $16::text, $17::text, $18::text,
         $19::text, $20::text, $7::uuid, $8::uuid, $21::date, s.check_days
  from gw.species s
  where s.code = $11::text
), state as (
  insert into gw.animal_state (animal, home) values ($9::uuid, $7::uuid)
), stay as (
  insert into gw.stay (animal, home, pen, during) values ($9::uuid, $7::uuid, $8::uuid, tstzrange($3::timestamptz, null))
)
insert into gw.arrival (id, animal, kind, at, from_whom, note, person, request_hash)
values ($1::uuid, $9::uuid, $2::text, $3::timestamptz, $4::text, $5::text, (select gw.me()), decode($6::text, 'hex'))
