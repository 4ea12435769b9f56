-- alert_step.sql: add a step to an alert's course, on the version of the alert that the person has seen.
-- in   $1 step id, $2 alert, $3 version, $4 step, $5 outcome or null, $6 note or null, $7 due at or null, $8 at
-- out  one row (json of step and alert's new state, version). No row: the alert is not visible, its version is another,
--      or the step does not fit its state (only a settled alert is reopened; nothing but a note is added to one).
with alert as (
  update gw.alert a
  set state = case $4::text when 'note' then a.state when 'settled' then 'settled' when 'reopened' then 'waiting' else 'in_hand' end,
      taken_by = case when $4::text in ('note', 'settled') then a.taken_by when $4::text = 'reopened' then null
                      else coalesce(case when $4::text = 'taken' then (select gw.me()) end, a.taken_by, (select gw.me())) end,
      due_at = case $4::text when 'note' then a.due_at when 'settled' then null else coalesce($7::timestamptz, a.due_at) end,
      outcome = case $4::text when 'settled' then $5::text when 'reopened' then null else a.outcome end,
      settled_at = case $4::text when 'settled' then $8::timestamptz when 'reopened' then null else a.settled_at end,
      version = a.version + 1
  where a.id = $2::uuid and a.version = $3::int
    and case $4::text when 'note' then true when 'reopened' then a.state = 'settled' else a.state <> 'settled' end
  returning a.id, a.home, a.state, a.level, a.kind, a.version, a.taken_by, a.due_at, a.outcome, a.settled_at
), step as (
  insert into gw.step (id, alert, home, step, outcome, note, due_at, at, person)
  select $1::uuid, a.id, a.home, $4::text, $5::text, $6::text, $7::timestamptz, $8::timestamptz, (select gw.me())
  from alert a
  returning id, step, outcome, note, due_at, at
)
select json_build_object(
  'alert', json_build_object('id', a.id, 'kind', a.kind, 'level', a.level, 'state', a.state, 'version', a.version,
    'taken_by', case when t.id is null then null else json_build_object('id', t.id, 'name', t.name) end,
    'due_at', a.due_at, 'outcome', a.outcome, 'settled_at', a.settled_at),
  'step', json_build_object('id', s.id, 'step', s.step, 'outcome', s.outcome, 'note', s.note, 'due_at', s.due_at, 'at', s.at)),
  a.version
from alert a cross join step s
left join gw.person t on t.id = a.taken_by
