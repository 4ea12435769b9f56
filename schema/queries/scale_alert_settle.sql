-- scale_alert_settle.sql: a passed test settles the open alert of its scale, unless the alert's evidence is newer.
-- in   $1 test uuid
-- out  no row
update gw.alert a
set state = 'settled', settled_at = now(), outcome = 'measuring_error', due_at = null, version = a.version + 1
from gw.scale_test t
where t.id = $1::uuid and a.subject = t.scale and a.topic = 'scale' and a.state <> 'settled' and a.evidence_at <= t.at
