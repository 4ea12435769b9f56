-- check_verdicts.sql: put new verdicts in the place of old ones (a late check, an event, a session that grew).
-- in   $1 [{check, level, kind, quality, by_session, body, alone}]; alone null: as it was
-- out  one row (how many)
with changed as (
  update gw.verdict v
  set level = n.level, kind = n.kind, quality = n.quality, by_session = n.by_session, body = n.body,
      alone = coalesce(n.alone, v.alone), computed_at = now()
  from json_to_recordset($1::json)
    as n("check" uuid, level gw.level, kind text, quality text, by_session boolean, body json, alone json)
  where v."check" = n."check"
  returning 1
)
select count(*) from changed
