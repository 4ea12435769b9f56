-- check_spread.sql: other animals with the sign groups of these signs, here and elsewhere, in each group's window.
-- in   $1 home uuid, $2 animal uuid (left out of the counts), $3 sign codes as a text array, $4 at timestamptz
-- out  rows (group, window in days, dangerous to people, with here, animals here, with elsewhere, animals elsewhere,
--      number of homes); groups that are not passed on give no row
select g.code, g.window_days, g.to_people, s.home_with, s.home_animals, s.rest_with, s.rest_animals, s.looks
from gw.sign_group g
cross join lateral gw.spread_counts($1::uuid, $2::uuid, g.code, $4::timestamptz - make_interval(days => g.window_days),
                                    $4::timestamptz + make_interval(days => g.window_days)) s
where g.window_days > 1 and g.code in (select c.sign_group from gw.sign c where c.code = any ($3::text[]))
order by g.code
