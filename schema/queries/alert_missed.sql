-- alert_missed.sql: raise an alert for every late check, settle those whose check was made. For no person.
-- in   $1 days of grace after the due date
-- out  one row (open alerts of the kind missed)
select gw.missed_checks($1::int)
