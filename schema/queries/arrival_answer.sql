-- arrival_answer.sql: an arrival as it is stored: the animal, its baseline check, the verdict and the alerts.
-- in   $1 arrival uuid
-- out  one row (json); no row: unknown, or not visible
select json_build_object(
  'arrival', json_build_object('id', r.id, 'kind', r.kind, 'at', r.at, 'from', r.from_whom, 'note', r.note),
  'animal', json_build_object(
    'id', a.id, 'tag', a.tag, 'name', a.name, 'species', a.species, 'sex', a.sex, 'neutered', a.neutered,
    'birth', a.birth, 'birth_precision', a.birth_precision, 'stage', a.stage, 'adult_grams', a.adult_grams,
    'coat', a.coat, 'markings', a.markings, 'chip', a.chip,
    'chip_kind', case when a.chip is null then null when length(a.chip) = 15 then 'iso' else 'other' end,
    'status', a.status, 'home', a.home, 'home_name', h.name, 'pen', a.pen, 'pen_name', p.name, 'arrived', a.arrived,
    'check_every_days', a.check_every_days, 'sensitivity', a.sensitivity, 'note', a.note,
    'level', s.level, 'kind', s.kind, 'due_on', s.due_on, 'checked_at', s.checked_at,
    'last', case when s.grams is null then null else json_build_object('at', s.weighed_at, 'grams', s.grams) end),
  'check', case when c.id is null then null else json_build_object(
    'id', c.id, 'animal', c.animal, 'home', c.made_in, 'kind', c.kind, 'at', c.at, 'minutes', c.minutes,
    'person', case when q.id is null then null else json_build_object('id', q.id, 'name', q.name) end,
    'answers', c.answers,
    'findings', coalesce((
      select json_agg(json_build_object('sign', f.sign, 'grade', f.grade, 'side', f.side, 'note', f.note, 'usual', f.usual)
                      order by g.position)
      from gw.finding f join gw.sign g on g.code = f.sign where f."check" = c.id), '[]'),
    'weighing', case when c.grams is null then null else json_build_object(
      'scale', c.scale, 'readings', c.readings, 'grams', c.grams, 'zeroed', c.zeroed, 'confirmed', c.confirmed) end,
    'verdict', v.body, 'note', c.note, 'received_at', c.received_at,
    'late', c.received_at - c.at > interval '1 day') end,
  'verdict', v.body,
  'level', greatest(c.sign_level, v.level),
  'alerts', coalesce((
    select json_agg(json_build_object('id', l.id, 'kind', l.kind, 'level', l.level, 'state', l.state) order by l.level desc, l.kind)
    from gw.alert_evidence e join gw.alert l on l.id = e.alert where e."check" = c.id), '[]'))
from gw.arrival r
join gw.animal a on a.id = r.animal
left join gw.animal_state s on s.animal = a.id
left join gw.home h on h.id = a.home
left join gw.pen p on p.id = a.pen
left join lateral (
  select * from gw.check where animal = a.id and kind = 'baseline' order by at, id limit 1) c on true
left join gw.person q on q.id = c.person
left join gw.verdict v on v."check" = c.id
where r.id = $1::uuid
