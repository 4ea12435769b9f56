-- check_reassessed.sql: note that the verdicts of an animal were worked out again.
-- in   $1 animal uuid, $2 version they were worked out from, $3 check of the newest weight, $4 its level, $5 its kind
-- out  one row. Raises GW412 when the animal was changed meanwhile.
with state as (
  update gw.animal_state s
  set version = s.version + 1,
      level = case when s.checked_at = c.at then greatest(c.sign_level, $4::gw.level) else s.level end,
      kind = case when s.checked_at = c.at then $5::text else s.kind end
  from gw.check c
  where s.animal = $1::uuid and s.version = $2::bigint and c.id = $3::uuid
  returning 1
)
select gw.must_claim(count(*)) from state
