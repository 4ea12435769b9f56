-- pen_put.sql: make a pen in a home, or give it another name.
-- in   $1 home uuid, $2 pen uuid, $3 name
-- out  one row (is the home there, json or null when the pen belongs to another home, fresh)
with put as (
  insert into gw.pen as p (id, home, name)
  select $2::uuid, h.id, $3::text from gw.home h where h.id = $1::uuid
  on conflict (id) do update set name = excluded.name where p.home = excluded.home
  returning id, home, name
)
select exists (select from gw.home where id = $1::uuid),
       (select json_build_object('pen', json_build_object('id', id, 'home', home, 'name', name)) from put),
       not exists (select from gw.pen where id = $2::uuid)
