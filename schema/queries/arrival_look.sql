-- arrival_look.sql: what an arrival must know before it is judged and written.
-- in   $1 arrival uuid, $2 animal uuid, $3 home uuid, $4 pen uuid or null, $5 species, $6 chip or null, $7 at
-- out  one row (request hash in hexadecimal of the stored arrival or null, its animal, home is there, day of the arrival
--      in the home, pen is in the home or not asked for, days between checks or null when the species is unknown,
--      animal id is taken, name of the animal that has the chip)
select encode(r.request_hash, 'hex'), r.animal, h.id is not null, ($7::timestamptz at time zone h.zone)::date,
       $4::uuid is null or exists (select from gw.pen p where p.id = $4::uuid and p.home = h.id),
       (select s.check_days from gw.species s where s.code = $5::text),
       exists (select from gw.animal a where a.id = $2::uuid),
       (select a.name from gw.animal a where a.chip = $6::text)
from (values (1)) as one(row)
left join gw.arrival r on r.id = $1::uuid
left join gw.home h on h.id = $3::uuid
