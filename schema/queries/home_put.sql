-- home_put.sql: make a home, or change it.
-- in   $1 home uuid, $2 name, $3 kind, $4 zone, $5 note or null
-- out  one row (json, fresh). The same again changes nothing and leaves no trace.
with put as (
  insert into gw.home as h (id, name, kind, zone, note)
  values ($1::uuid, $2::text, $3::text, $4::text, $5::text)
  on conflict (id) do update
  set name = excluded.name, kind = excluded.kind, zone = excluded.zone, note = excluded.note
  where (h.name, h.kind, h.zone, h.note) is distinct from (excluded.name, excluded.kind, excluded.zone, excluded.note)
  returning id, name, kind, zone
), noted as (
  insert into gw.audit (person, what, subject, detail)
  select (select gw.me()), 'home_set', id, jsonb_build_object('name', name, 'kind', kind, 'zone', zone) from put
)
select json_build_object('home', json_build_object('id', $1::uuid, 'name', $2::text, 'kind', $3::text, 'zone', $4::text,
                                                   'note', $5::text)),
       not exists (select from gw.home where id = $1::uuid)
