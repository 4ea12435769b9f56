-- migration_list: what has been applied, for the readiness check.
-- out  rows (number, name, sha256 in hexadecimal) by number
select number, name, sha256 from gw.migration order by number;
