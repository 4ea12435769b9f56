-- scale_test_answer.sql: a stored test, and the alert of its scale that is open or was settled in this transaction.
-- in   $1 test uuid
-- out  one row (json); no row: unknown, or not visible
select json_build_object(
  'test', json_build_object(
    'id', t.id, 'scale', t.scale, 'at', t.at, 'mass', t.mass, 'reading', t.reading, 'allowed_error', t.allowed,
    'passed', t.passed),
  'alerts', coalesce((
    select json_agg(json_build_object('id', a.id, 'kind', a.kind, 'level', a.level, 'state', a.state))
    from gw.alert a
    where a.subject = t.scale and a.topic = 'scale' and (a.state <> 'settled' or a.settled_at = now())), '[]'))
from gw.scale_test t
where t.id = $1::uuid
