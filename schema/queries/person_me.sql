-- person_me: who is signed in, the homes they serve now, and whom the network says to call.
-- out  one row (person, homes, network), each json
select
  (select json_build_object('id', p.id, 'name', p.name, 'email', a.email, 'role', p.role)
   from gw.person p join gw.account a on a.person = p.id
   where p.id = (select gw.me())),
  (select coalesce(json_agg(json_build_object('id', h.id, 'name', h.name, 'kind', h.kind, 'zone', h.zone)
                            order by h.name collate "en-x-icu"), '[]')
   from gw.serves s join gw.home h on h.id = s.home
   where s.person = (select gw.me()) and s.during @> now()),
  (select json_build_object('name', n.name, 'zone', n.zone, 'phones', n.phones) from gw.network n);
