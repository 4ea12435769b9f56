-- check_reassessed.sql: note that the verdicts of an animal were worked out again.
-- in   $1 animal uuid, $2 version they were worked out from
-- out  one row. Raises GW412 when the animal was changed meanwhile.
with state as (
  update gw.animal_state s set version = s.version + 1
  where s.animal = $1::uuid and s.version = $2::bigint
  returning 1
)
select gw.must_claim(count(*)) from state
