-- person_list: everybody with an account, and the homes they serve now. For coordinators: others see no addresses.
-- out  one row (json)
select json_build_object('people', coalesce(json_agg(json_build_object(
         'id', p.id, 'name', p.name, 'email', a.email, 'role', p.role, 'homes', coalesce(h.homes, '[]'::json),
         'invited', gw.person_invited(p.id)) order by p.name collate "en-x-icu", p.id), '[]'::json))
from gw.person p
join gw.account a on a.person = p.id
left join lateral (
  select json_agg(json_build_object('id', h.id, 'name', h.name) order by h.name collate "en-x-icu") as homes
  from gw.serves s join gw.home h on h.id = s.home
  where s.person = p.id and s.during @> now()
) h on true
where p.disabled_at is null;
