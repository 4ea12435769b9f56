-- round_get.sql: the round of a person: the homes served, their pens and animals, and what the engine on the phone must
-- know of each animal.
-- in   $1 instant of the round
-- out  one row (json). At most 400 animals, 60 weighings of each.
with served as (
  select h.id, h.name, h.kind, h.zone, v.cover, ($1::timestamptz at time zone h.zone)::date as today
  from gw.serves v
  join gw.home h on h.id = v.home
  where v.person = (select gw.me()) and v.during @> $1::timestamptz
), resident as materialized (
  select a.id, a.tag, a.name, a.species, a.sex, a.stage, a.birth, a.coat, a.markings, a.status, a.home, a.pen, a.arrived,
         a.check_every_days, a.adult_grams, h.name as home_name, h.today, p.name as pen_name
  from gw.animal a
  join served h on h.id = a.home
  left join gw.pen p on p.id = a.pen
  where a.home = any (array(select id from served)) and a.status = 'here'
  order by h.name, p.name, a.name, a.id
  limit 400
), animals as (
  select a.home, a.pen, a.pen_name, a.name, a.id, json_build_object(
    'id', a.id, 'tag', a.tag, 'name', a.name, 'species', a.species, 'sex', a.sex, 'stage', a.stage, 'birth', a.birth,
    'coat', a.coat, 'markings', a.markings, 'status', a.status, 'home', a.home, 'home_name', a.home_name, 'pen', a.pen,
    'pen_name', a.pen_name, 'level', s.level, 'due_on', s.due_on,
    'last', case when s.grams is null then null else json_build_object('at', s.weighed_at, 'grams', s.grams) end,
    'arrived', a.arrived, 'adult_grams', a.adult_grams, 'check_every_days', a.check_every_days,
    'known_normals', coalesce((
      select json_agg(json_build_object('id', k.id, 'sign', k.sign, 'up_to', k.up_to, 'vet_confirmed', k.vet_confirmed)
                      order by k.sign)
      from gw.known_normal k where k.animal = a.id and k.ended_at is null), '[]'),
    'events', coalesce((
      select json_agg(json_build_object('event', e.event, 'from', lower(e.during), 'to', upper(e.during) - 1)
                      order by lower(e.during), e.id)
      from gw.event e where e.animal = a.id), '[]'),
    'open_alerts', coalesce((
      select json_agg(json_build_object('id', l.id, 'kind', l.kind, 'level', l.level, 'state', l.state, 'reasons', l.reasons)
                      order by l.level desc, l.kind, l.id)
      from gw.alert l where l.subject = a.id and l.state <> 'settled'), '[]'),
    'last_check', c.body,
    'weighings', coalesce(w.list, '[]'),
    'done_today', coalesce(s.checked_on >= a.today and exists (
      select from gw.check d
      where d.animal = a.id and d.at > $1::timestamptz - interval '2 days' and d.day = a.today
        and d.kind in ('weekly', 'baseline')), false),
    'mouth_false_rate', null) as body
  from resident a
  left join gw.animal_state s on s.animal = a.id
  left join lateral (
    select json_build_object(
      'id', k.id, 'animal', k.animal, 'home', k.made_in, 'kind', k.kind, 'at', k.at, 'minutes', k.minutes,
      'person', case when p.id is null then null else json_build_object('id', p.id, 'name', p.name) end,
      'answers', k.answers,
      'findings', coalesce((
        select json_agg(json_build_object('sign', f.sign, 'grade', f.grade, 'side', f.side, 'note', f.note, 'usual', f.usual)
                        order by g.position)
        from gw.finding f join gw.sign g on g.code = f.sign where f."check" = k.id), '[]'),
      'weighing', case when k.grams is null then null else json_build_object(
        'scale', k.scale, 'readings', k.readings, 'grams', k.grams, 'zeroed', k.zeroed, 'confirmed', k.confirmed) end,
      'verdict', v.body, 'note', k.note, 'received_at', k.received_at,
      'late', k.received_at - k.at > interval '1 day') as body
    from (select * from gw.check where animal = a.id and at <= $1::timestamptz order by at desc, id desc limit 1) k
    left join gw.person p on p.id = k.person
    left join gw.verdict v on v."check" = k.id) c on true
  left join lateral (
    select json_agg(json_build_object(
      'check', k.id, 'at', k.at, 'grams', k.grams, 'second', k.readings[2], 'scale', k.scale, 'step', k.step,
      'confirmed', k.confirmed, 'mouth_looked', k.mouth_looked, 'mouth_seen', k.mouth_seen, 'quality', v.quality,
      'level', v.level, 'kind', v.kind, 'expected', v.body -> 'expected', 'low', v.body -> 'low', 'high', v.body -> 'high',
      'own_level', v.body -> 'own_level', 'sd', v.body -> 'sd', 'change_pct', v.body -> 'change_pct',
      'reasons', v.body -> 'reasons', 'set_aside_by_session', coalesce(v.by_session, false)) order by k.at, k.id) as list
    from (select * from gw.check where animal = a.id and grams is not null and at <= $1::timestamptz
          order by at desc, id desc limit 60) k
    left join gw.verdict v on v."check" = k.id) w on true
), pens as (
  select home, pen, pen_name, json_agg(body order by name collate gw.people, id) as list
  from animals
  group by home, pen, pen_name
)
select json_build_object(
  'as_of', $1::timestamptz,
  'homes', coalesce((
    select json_agg(json_build_object(
      'id', h.id, 'name', h.name, 'kind', h.kind, 'zone', h.zone, 'cover', h.cover,
      'scales', coalesce((
        select json_agg(json_build_object(
          'id', c.id, 'home', c.home, 'home_name', h.name, 'name', c.name, 'step', c.step, 'capacity', c.capacity,
          'last_test', t.test) order by c.name collate gw.people, c.id)
        from gw.scale c
        left join lateral (
          select json_build_object('at', e.at, 'mass', e.mass, 'reading', e.reading, 'passed', e.passed) as test
          from gw.scale_test e where e.scale = c.id order by e.at desc, e.id limit 1) t on true
        where c.home = h.id and c.retired_at is null), '[]'),
      'pens', coalesce((
        select json_agg(json_build_object('id', p.pen, 'name', p.pen_name, 'animals', p.list)
                        order by p.pen is null, p.pen_name collate gw.people, p.pen)
        from pens p where p.home = h.id), '[]')) order by h.name collate gw.people, h.id)
    from served h), '[]'))
