-- home_zone.sql: is this the name of a time zone?
-- in   $1 name
-- out  one row (known). pg_timezone_names alone would take 100 ms, gw.zone_known alone takes POSIX forms such as "X3".
select $1::text ~ '^(UTC|[A-Z][A-Za-z_]+(/[A-Z][A-Za-z0-9_+-]+)+)$' and gw.zone_known($1::text)
