-- Roles of a Gramwell cluster. Run once by a superuser, before the first `gramwelld migrate`; running it again is harmless.
--
-- gramwell_owner    owns the schema and runs migrations; bound by row-level security like everybody (it is forced)
-- gramwell_app      the server; sees only what the person of the transaction may see
-- gramwell_read     reports: reads, never writes, and sees no account, session or invitation
-- gramwell_signin   nobody signs in as this: owns the functions that work before a person is known
-- gramwell_network  nobody signs in as this: owns the functions that count over all homes
do $$
declare
  r record;
begin
  for r in select * from (values
    ('gramwell_owner', 'login'), ('gramwell_app', 'login'), ('gramwell_read', 'login'),
    ('gramwell_signin', 'nologin'), ('gramwell_network', 'nologin')) as t(name, kind)
  loop
    if not exists (select from pg_roles where rolname = r.name) then
      execute format('create role %I %s nosuperuser nocreatedb nocreaterole', r.name, r.kind);
    end if;
  end loop;
end $$;

-- The owner may hand functions to these two but has none of their rights: else their policies would show it every row.
alter role gramwell_owner noinherit;
grant gramwell_signin, gramwell_network to gramwell_owner;

-- A statement that runs longer is a fault of ours; a lock that is not had soon is another's.
alter role gramwell_app set statement_timeout = '10s';
alter role gramwell_app set lock_timeout = '5s';
alter role gramwell_app set idle_in_transaction_session_timeout = '15s';
