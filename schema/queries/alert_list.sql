-- alert_list.sql: alerts by urgency. Emergencies stay on top until they are settled; then what waits, then what is in hand.
-- in   $1 true: open, false: settled; $2 animal or null, $3 home or null, $4 limit,
--      $5 settled before this moment (the cursor) or null
-- out  one row (json)
with wanted as (
  select a.*, row_number() over (order by
           case when $1::boolean then a.level = 'emergency' end desc,
           case when $1::boolean then a.state = 'waiting' end desc,
           case when $1::boolean then a.level end desc,
           case when $1::boolean then a.raised_at end,
           a.settled_at desc, a.id) as place
  from gw.alert a
  where (a.state <> 'settled') = $1::boolean
    and ($2::uuid is null or a.animal = $2::uuid)
    and ($3::uuid is null or a.home = $3::uuid)
    and ($5::timestamptz is null or a.settled_at < $5::timestamptz)
  order by place
  limit $4::int
)
select json_build_object(
  'alerts', coalesce((
    select json_agg(json_build_object(
      'id', a.id, 'kind', a.kind, 'level', a.level, 'state', a.state,
      'animal', case when n.id is null then null else json_build_object(
        'id', n.id, 'name', n.name, 'tag', n.tag, 'species', n.species, 'sex', n.sex, 'coat', n.coat, 'markings', n.markings,
        'pen_name', p.name) end,
      'home', json_build_object('id', h.id, 'name', h.name),
      'scale', case when s.id is null then null else json_build_object('id', s.id, 'name', s.name) end,
      'sign_group', a.sign_group, 'opened_at', a.opened_at, 'raised_at', a.raised_at, 'recorded_at', a.recorded_at,
      'evidence_at', a.evidence_at, 'late', a.recorded_at - a.opened_at > interval '1 day', 'was_level', a.was_level,
      'taken_by', case when t.id is null then null else json_build_object('id', t.id, 'name', t.name) end,
      'due_at', a.due_at, 'limit_hours', r.answer_hours, 'outcome', a.outcome, 'settled_at', a.settled_at,
      'version', a.version, 'reasons', a.reasons, 'signs', a.signs, 'facts', a.facts,
      'spark', coalesce(w.grams, '[]')) order by a.place)
    from wanted a
    join gw.home h on h.id = a.home
    join gw.level_rule r on r.level = a.level
    left join gw.animal n on n.id = a.animal
    left join gw.pen p on p.id = n.pen
    left join gw.scale s on s.id = a.scale
    left join gw.person t on t.id = a.taken_by
    left join lateral (
      select json_agg(l.grams order by l.at) as grams
      from (select c.grams, c.at from gw.check c where c.animal = a.animal and c.grams is not null
            order by c.at desc limit 12) l) w on true), '[]'),
  'counts', (select json_build_object('waiting', count(*) filter (where state = 'waiting'),
                                      'in_hand', count(*) filter (where state = 'in_hand'))
             from gw.alert where state <> 'settled'),
  'next', case when not $1::boolean and (select count(*) from wanted) = $4::int
               then (select min(settled_at) from wanted) end)
