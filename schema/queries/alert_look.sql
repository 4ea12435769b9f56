-- alert_look.sql: why was a step not added?
-- in   $1 alert uuid, $2 step id
-- out  one row (version, state, json of the stored step with this id or null); no row: unknown, or not visible
select a.version, a.state, (
  select json_build_object(
    'alert', json_build_object('id', a.id, 'kind', a.kind, 'level', a.level, 'state', a.state, 'version', a.version,
      'taken_by', case when t.id is null then null else json_build_object('id', t.id, 'name', t.name) end,
      'due_at', a.due_at, 'outcome', a.outcome, 'settled_at', a.settled_at),
    'step', json_build_object('id', s.id, 'step', s.step, 'outcome', s.outcome, 'note', s.note, 'due_at', s.due_at, 'at', s.at))
  from gw.step s where s.id = $2::uuid and s.alert = a.id)
from gw.alert a
left join gw.person t on t.id = a.taken_by
where a.id = $1::uuid
