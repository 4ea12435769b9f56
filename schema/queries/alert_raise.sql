-- alert_raise.sql: open an alert, or let new evidence join the open one and raise it.
-- in   $1 kind, $2 level, $3 animal or null, $4 home, $5 scale or null, $6 sign group or null, $7 when it was seen,
--      $8 reasons, $9 signs, $10 facts, $11 check
-- out  one row (alert, level) or none when the coordinator has settled the same at this level or higher in the last
--      28 days: a decision made is not asked for again every week (common practice, no source). An emergency always is.
with alert as (
  insert into gw.alert as a (kind, level, animal, home, scale, sign_group, opened_at, raised_at, evidence_at, reasons, signs, facts)
  select $1::text, $2::gw.level, $3::uuid, $4::uuid, $5::uuid, $6::text, $7::timestamptz, $7::timestamptz, $7::timestamptz,
         $8::text[], $9::text[], $10::json
  where $2::gw.level = 'emergency' or not exists (
    select from gw.alert s
    where s.subject = coalesce($5::uuid, $3::uuid, $4::uuid) and s.topic = $1::text || coalesce(':' || $6::text, '')
      and s.state = 'settled' and s.settled_at > $7::timestamptz - interval '28 days' and s.level >= $2::gw.level)
  on conflict (subject, topic) where state <> 'settled' do update
  set level = greatest(a.level, excluded.level),
      was_level = case when excluded.level > a.level then a.level else a.was_level end,
      raised_at = case when excluded.level > a.level then excluded.raised_at else a.raised_at end,
      state = case when excluded.level > a.level then 'waiting' else a.state end,
      opened_at = least(a.opened_at, excluded.opened_at),
      evidence_at = greatest(a.evidence_at, excluded.evidence_at),
      reasons = case when excluded.evidence_at >= a.evidence_at then excluded.reasons else a.reasons end,
      facts = case when excluded.evidence_at >= a.evidence_at then excluded.facts else a.facts end,
      signs = (select coalesce(array_agg(distinct s), '{}') from unnest(a.signs || excluded.signs) as s),
      version = a.version + 1
  returning id, level, home
), evidence as (
  insert into gw.alert_evidence as e (alert, "check", home, at, level, kind, reasons, signs)
  select id, $11::uuid, home, $7::timestamptz, $2::gw.level, $1::text, $8::text[], $9::text[]
  from alert
  on conflict (alert, "check") do update
  set level = excluded.level, reasons = excluded.reasons, signs = excluded.signs
)
select id, level from alert
