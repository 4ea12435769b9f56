-- animal_get.sql: one animal with everything but its checks.
-- in   $1 animal uuid
-- out  one row (json); no row: unknown, or not visible. arrival is null for volunteers: from whom is not theirs to see.
select json_build_object(
  'animal', json_build_object(
    'id', a.id, 'tag', a.tag, 'name', a.name, 'species', a.species, 'sex', a.sex, 'neutered', a.neutered,
    'birth', a.birth, 'birth_precision', a.birth_precision, 'stage', a.stage, 'adult_grams', a.adult_grams,
    'coat', a.coat, 'markings', a.markings, 'chip', a.chip,
    'chip_kind', case when a.chip is null then null when length(a.chip) = 15 then 'iso' else 'other' end,
    'status', a.status, 'home', a.home, 'home_name', h.name, 'pen', a.pen, 'pen_name', p.name, 'arrived', a.arrived,
    'check_every_days', a.check_every_days, 'sensitivity', a.sensitivity, 'note', a.note,
    'level', s.level, 'kind', s.kind, 'due_on', s.due_on, 'checked_at', s.checked_at,
    'last', case when s.grams is null then null else json_build_object('at', s.weighed_at, 'grams', s.grams) end),
  'arrival', (
    select json_build_object('id', r.id, 'kind', r.kind, 'at', r.at, 'from', r.from_whom, 'note', r.note)
    from gw.arrival r where r.animal = a.id order by r.at desc, r.id limit 1),
  'known_normals', coalesce((
    select json_agg(json_build_object(
      'id', k.id, 'sign', k.sign, 'up_to', k.up_to, 'said_by', k.said_by, 'vet_confirmed', k.vet_confirmed,
      'recorded_at', k.recorded_at) order by g.position)
    from gw.known_normal k join gw.sign g on g.code = k.sign
    where k.animal = a.id and k.ended_at is null), '[]'),
  'events', coalesce((
    select json_agg(json_build_object(
      'id', e.id, 'event', e.event, 'from', lower(e.during), 'to', upper(e.during) - 1, 'note', e.note)
      order by lower(e.during) desc, e.id)
    from (select * from gw.event where animal = a.id order by lower(during) desc, id limit 200) e), '[]'),
  'open_alerts', coalesce((
    select json_agg(json_build_object(
      'id', l.id, 'kind', l.kind, 'level', l.level, 'state', l.state, 'reasons', l.reasons) order by l.level desc, l.kind, l.id)
    from gw.alert l where l.subject = a.id and l.state <> 'settled'), '[]'),
  'stays', coalesce((
    select json_agg(json_build_object(
      'id', t.id, 'home', t.home, 'home_name', th.name, 'pen', t.pen, 'pen_name', tp.name, 'from', lower(t.during),
      'to', upper(t.during)) order by lower(t.during) desc)
    from (select * from gw.stay where animal = a.id order by lower(during) desc limit 100) t
    left join gw.home th on th.id = t.home
    left join gw.pen tp on tp.id = t.pen), '[]'))
from gw.animal a
left join gw.animal_state s on s.animal = a.id
left join gw.home h on h.id = a.home
left join gw.pen p on p.id = a.pen
where a.id = $1::uuid
