-- alert_get.sql: an alert with all that a decision needs: evidence, course, weights, findings, pen mates, scale, the past.
-- in   $1 alert uuid
-- out  one row (json, version); no row: unknown, or not visible
select json_build_object(
  'alert', json_build_object(
    'id', a.id, 'kind', a.kind, 'level', a.level, 'state', a.state,
    'animal', case when n.id is null then null else json_build_object(
      'id', n.id, 'name', n.name, 'tag', n.tag, 'species', n.species, 'sex', n.sex, 'neutered', n.neutered,
      'birth', n.birth, 'birth_precision', n.birth_precision, 'stage', n.stage, 'coat', n.coat, 'markings', n.markings,
      'arrived', n.arrived, 'pen_name', p.name) end,
    'home', json_build_object('id', h.id, 'name', h.name),
    'scale', case when s.id is null then null else json_build_object('id', s.id, 'name', s.name) end,
    'sign_group', a.sign_group, 'opened_at', a.opened_at, 'raised_at', a.raised_at, 'recorded_at', a.recorded_at,
    'evidence_at', a.evidence_at, 'late', a.recorded_at - a.opened_at > interval '1 day', 'was_level', a.was_level,
    'taken_by', case when t.id is null then null else json_build_object('id', t.id, 'name', t.name) end,
    'due_at', a.due_at, 'limit_hours', r.answer_hours, 'outcome', a.outcome, 'settled_at', a.settled_at,
    'version', a.version, 'reasons', a.reasons, 'signs', a.signs, 'facts', a.facts),
  'evidence', coalesce((
    select json_agg(json_build_object(
      'check', e."check", 'at', e.at, 'level', e.level, 'kind', e.kind, 'reasons', e.reasons, 'signs', e.signs,
      'recorded_at', e.recorded_at, 'person', (select json_build_object('id', q.id, 'name', q.name) from gw.person q where q.id = c.person),
      'animal', (select json_build_object('id', m.id, 'name', m.name) from gw.animal m where m.id = c.animal),
      'grams', c.grams) order by e.at desc)
    from gw.alert_evidence e left join gw.check c on c.id = e."check" where e.alert = a.id), '[]'),
  'steps', coalesce((
    select json_agg(json_build_object(
      'id', x.id, 'step', x.step, 'outcome', x.outcome, 'note', x.note, 'due_at', x.due_at, 'at', x.at,
      'person', (select json_build_object('id', q.id, 'name', q.name) from gw.person q where q.id = x.person))
      order by x.at desc, x.recorded_at desc)
    from gw.step x where x.alert = a.id), '[]'),
  'series', coalesce((
    select json_agg(json_build_object(
      'check', c.id, 'at', c.at, 'grams', c.grams, 'second', c.readings[2], 'scale', c.scale, 'step', c.step,
      'confirmed', c.confirmed, 'mouth_looked', c.mouth_looked, 'mouth_seen', c.mouth_seen,
      'set_aside_by_session', v.by_session, 'quality', v.quality, 'level', v.level, 'kind', v.kind,
      'expected', v.body -> 'expected', 'low', v.body -> 'low', 'high', v.body -> 'high',
      'own_level', v.body -> 'own_level', 'sd', v.body -> 'sd', 'change_pct', v.body -> 'change_pct',
      'reasons', v.body -> 'reasons') order by c.at, c.id)
    from (select * from gw.check where animal = a.animal and grams is not null order by at desc, id desc limit 60) c
    join gw.verdict v on v."check" = c.id), '[]'),
  'checks', coalesce((
    select json_agg(json_build_object(
      'id', c.id, 'at', c.at, 'kind', c.kind, 'answers', c.answers, 'note', c.note,
      'person', (select json_build_object('id', q.id, 'name', q.name) from gw.person q where q.id = c.person),
      'findings', coalesce((
        select json_agg(json_build_object('sign', f.sign, 'grade', f.grade, 'side', f.side, 'note', f.note, 'usual', f.usual))
        from gw.finding f where f."check" = c.id), '[]')) order by c.at desc)
    from (select * from gw.check where animal = a.animal and kind <> 'weigh_only' order by at desc limit 12) c), '[]'),
  'mates', coalesce((
    select json_agg(json_build_object('id', m.id, 'name', m.name, 'grams', z.grams, 'level', z.level,
      'spark', (select json_agg(l.grams order by l.at) from (
        select c.grams, c.at from gw.check c where c.animal = m.id and c.grams is not null order by c.at desc limit 12) l))
      order by m.name)
    from gw.animal m join gw.animal_state z on z.animal = m.id
    where m.home = n.home and m.pen is not distinct from n.pen and m.id <> n.id and m.status = 'here'), '[]'),
  'last_test', (
    select json_build_object('scale', k.id, 'name', k.name, 'at', y.at, 'mass', y.mass, 'reading', y.reading, 'passed', y.passed)
    from gw.scale k left join gw.scale_test y on y.scale = k.id
    where k.id = coalesce(a.scale, (
      select c.scale from gw.check c where c.animal = a.animal and c.scale is not null order by c.at desc limit 1))
    order by y.at desc nulls last limit 1),
  'earlier', coalesce((
    select json_agg(json_build_object('id', o.id, 'kind', o.kind, 'level', o.level, 'opened_at', o.opened_at,
      'outcome', o.outcome, 'settled_at', o.settled_at, 'signs', o.signs) order by o.settled_at desc)
    from (select * from gw.alert where subject = a.subject and state = 'settled' and id <> a.id
          order by settled_at desc limit 8) o), '[]')), a.version
from gw.alert a
join gw.home h on h.id = a.home
join gw.level_rule r on r.level = a.level
left join gw.animal n on n.id = a.animal
left join gw.pen p on p.id = n.pen
left join gw.scale s on s.id = a.scale
left join gw.person t on t.id = a.taken_by
where a.id = $1::uuid
