-- check_scale.sql: the scale of a weighing.
-- in   $1 scale uuid
-- out  one row (step); no row: unknown, retired, or not visible
select s.step from gw.scale s where s.id = $1::uuid and s.retired_at is null
