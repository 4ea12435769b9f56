-- check_verdicts.sql: put new verdicts in the place of old ones (a late check, an event, a session that grew), and keep the
-- level of an animal that of its newest check.
-- in   $1 [{check, level, kind, quality, by_session, body, alone}]; alone null: as it was
-- out  one row (how many)
with changed as (
  update gw.verdict v
  set level = n.level, kind = n.kind, quality = n.quality, by_session = n.by_session, body = n.body,
      alone = coalesce(n.alone, v.alone), computed_at = now()
  from json_to_recordset($1::json)
    as n("check" uuid, level gw.level, kind text, quality text, by_session boolean, body json, alone json)
  where v."check" = n."check"
  returning v."check", v.animal, v.level, v.kind
), newest as (
  select n.animal, c.at, greatest(c.sign_level, n.level) as level,
         case when n.level > 'steady' and n.level >= c.sign_level then n.kind
              when c.sign_level > 'steady' then 'finding' else 'none' end as kind
  from changed n join gw.check c on c.id = n."check"
), state as (
  update gw.animal_state s
  set level = n.level, kind = n.kind
  from newest n
  where s.animal = n.animal and s.checked_at = n.at and (s.level, s.kind) is distinct from (n.level, n.kind)
)
select count(*) from changed
