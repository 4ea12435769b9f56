-- alert_withdraw.sql: take back what a check raised for its animal's weight, when its session explains the weight.
-- Only alerts that nobody has touched and that rest on this check alone go; others keep their course.
-- in   $1 checks
-- out  one row (how many alerts)
with evidence as (
  delete from gw.alert_evidence e
  using gw.alert a
  where e."check" = any ($1::uuid[]) and a.id = e.alert and a.kind in ('loss', 'stall', 'gain') and a.state = 'waiting'
  returning e.alert, e."check"
), gone as (
  delete from gw.alert a
  using evidence
  where a.id = evidence.alert
    and not exists (select from gw.step s where s.alert = a.id)
    and not exists (select from gw.alert_evidence o where o.alert = a.id and o."check" <> evidence."check")
  returning a.id
)
select count(*) from gone
