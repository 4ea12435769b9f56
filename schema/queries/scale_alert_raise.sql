-- scale_alert_raise.sql: a failed test opens an alert for its scale, or joins the open one.
-- in   $1 test uuid
-- out  no row. Nothing happens when a later test of the scale has been stored already.
insert into gw.alert as a (kind, level, home, scale, opened_at, raised_at, evidence_at, reasons, facts)
select 'scale', 'watch', t.home, t.scale, t.at, t.at, t.at, '{scale_test}',
       json_build_object('test', t.id, 'mass', t.mass, 'reading', t.reading, 'allowed_error', t.allowed)
from gw.scale_test t
where t.id = $1::uuid and not exists (select from gw.scale_test n where n.scale = t.scale and n.at > t.at)
on conflict (subject, topic) where state <> 'settled' do update
set opened_at = least(a.opened_at, excluded.opened_at),
    evidence_at = greatest(a.evidence_at, excluded.evidence_at),
    reasons = (select array_agg(distinct r) from unnest(a.reasons || excluded.reasons) as r),
    facts = excluded.facts,
    version = a.version + 1
