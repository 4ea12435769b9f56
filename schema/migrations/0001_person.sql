-- 0001 person: who may sign in, and how a transaction learns who is asking.
--
-- Adds     schema gw, person, account, session, invitation, sign-in attempts, the network's settings, the audit trail.
-- Locks    new tables only.
-- Undo     drop schema gw cascade, while it holds nothing that matters.

create extension if not exists btree_gist with schema public;

create schema if not exists gw;  -- the runner has made it for its own table
grant usage on schema gw to gramwell_app, gramwell_read, gramwell_signin, gramwell_network;
grant create on schema gw to gramwell_signin, gramwell_network;  -- to own their functions; taken back in 0007

-- How soon somebody must act. The order of the values is their urgency.
create type gw.level as enum ('steady', 'watch', 'vet_soon', 'same_day', 'emergency');

-- The person of this transaction, set by gw.session_enter(); null when nobody is. Plain SQL, so that it is inlined.
create function gw.me() returns uuid language sql stable
  return nullif(current_setting('gw.person', true), '')::uuid;
create function gw.desk() returns boolean language sql stable
  return coalesce(current_setting('gw.role', true) in ('intake', 'coordinator'), false);
create function gw.coordinator() returns boolean language sql stable
  return coalesce(current_setting('gw.role', true) = 'coordinator', false);
comment on function gw.desk() is 'Intake staff and coordinators work over all homes; a volunteer over those served.';

create table gw.network (
  singleton   boolean primary key default true check (singleton),
  name        text not null check (length(name) between 1 and 120),
  zone        text not null default 'Europe/London',
  phones      jsonb not null default '[]',
  sensitivity numeric(3, 2) not null default 0 check (sensitivity between -1.5 and 1.5)
);
comment on table gw.network is 'One row: settings of the whole network.';
comment on column gw.network.phones is 'Whom to call: [{"name", "number", "when"}] in the order in which to try.';
insert into gw.network (name) values ('Our network');

create table gw.person (
  id          uuid primary key default gen_random_uuid(),
  name        text not null check (length(name) between 1 and 120),
  role        text not null constraint person_role_known check (role in ('volunteer', 'intake', 'coordinator')),
  disabled_at timestamptz,
  created_at  timestamptz not null default now()
);
comment on table gw.person is 'Someone with an account. What is private about them stands in gw.account.';

create table gw.account (
  person          uuid primary key references gw.person on delete cascade,
  email           text not null constraint account_email_form check (email ~ '^[^@\s<>]+@[^@\s<>]+$' and length(email) <= 254),
  passphrase_hash text,
  phone           text check (length(phone) <= 40)
);
create unique index account_email_once on gw.account (lower(email));
comment on column gw.account.passphrase_hash is 'Argon2id; null until the invitation is used. The service cannot read this column.';

create table gw.session (
  token_hash bytea primary key check (length(token_hash) = 32),
  person     uuid not null references gw.person on delete cascade,
  bearer     boolean not null default false,
  created_at timestamptz not null default now(),
  expires_at timestamptz not null
);
create index session_person on gw.session (person);
comment on table gw.session is 'A token opens a session; only its hash is kept.';

create table gw.invitation (
  token_hash bytea primary key check (length(token_hash) = 32),
  person     uuid not null references gw.person on delete cascade,
  made_by    uuid references gw.person on delete set null,
  created_at timestamptz not null default now(),
  expires_at timestamptz not null,
  spent_at   timestamptz
);
create index invitation_person on gw.invitation (person);

create table gw.signin_attempt (
  who        text not null,
  address    text not null,
  failed_at  timestamptz not null default now()
);
create index signin_attempt_who on gw.signin_attempt (who, failed_at);
create index signin_attempt_address on gw.signin_attempt (address, failed_at);
comment on table gw.signin_attempt is 'Failed sign-ins of the last hour, for growing delays. who is a hash of the e-mail address as typed.';

create table gw.audit (
  id      bigint generated always as identity primary key,
  at      timestamptz not null default now(),
  person  uuid,
  what    text not null check (length(what) <= 60),
  subject uuid,
  detail  jsonb not null default '{}'
);
comment on table gw.audit is 'Changes of rights, settings and corrections. The service may add and read, never change.';

alter table gw.network        enable row level security;  alter table gw.network        force row level security;
alter table gw.person         enable row level security;  alter table gw.person         force row level security;
alter table gw.account        enable row level security;  alter table gw.account        force row level security;
alter table gw.session        enable row level security;  alter table gw.session        force row level security;
alter table gw.invitation     enable row level security;  alter table gw.invitation     force row level security;
alter table gw.signin_attempt enable row level security;  alter table gw.signin_attempt force row level security;
alter table gw.audit          enable row level security;  alter table gw.audit          force row level security;

create policy network_read on gw.network for select to gramwell_app using ((select gw.me()) is not null);
create policy network_write on gw.network for update to gramwell_app using ((select gw.coordinator()));
create policy network_report on gw.network for select to gramwell_read using (true);
create policy network_count on gw.network for select to gramwell_network using (true);
grant select on gw.network to gramwell_app, gramwell_read, gramwell_network;
grant update (name, zone, phones, sensitivity) on gw.network to gramwell_app;

-- Names are for everybody who is signed in: a check says who made it.
create policy person_read on gw.person for select to gramwell_app using ((select gw.me()) is not null);
create policy person_signin on gw.person to gramwell_signin using (true) with check (true);
create policy person_report on gw.person for select to gramwell_read using (true);
grant select on gw.person to gramwell_app, gramwell_read, gramwell_signin;
grant insert, update on gw.person to gramwell_signin;

create policy account_read on gw.account for select to gramwell_app
  using ((select gw.coordinator()) or person = (select gw.me()));
create policy account_signin on gw.account to gramwell_signin using (true) with check (true);
grant select (person, email, phone) on gw.account to gramwell_app;
grant select, insert, update on gw.account to gramwell_signin;

create policy session_signin on gw.session to gramwell_signin using (true) with check (true);
grant select, insert, update, delete on gw.session to gramwell_signin;
create policy invitation_signin on gw.invitation to gramwell_signin using (true) with check (true);
grant select, insert, update, delete on gw.invitation to gramwell_signin;
create policy signin_attempt_signin on gw.signin_attempt to gramwell_signin using (true) with check (true);
grant select, insert, delete on gw.signin_attempt to gramwell_signin;

create policy audit_read on gw.audit for select to gramwell_app using ((select gw.coordinator()));
create policy audit_add on gw.audit for insert to gramwell_app with check (person = (select gw.me()));
create policy audit_signin on gw.audit for insert to gramwell_signin with check (true);
create policy audit_report on gw.audit for select to gramwell_read using (true);
grant select on gw.audit to gramwell_app, gramwell_read;
grant insert (person, what, subject, detail) on gw.audit to gramwell_app, gramwell_signin;

create function gw.role_rank(role text) returns int language sql immutable
  return case role when 'volunteer' then 1 when 'intake' then 2 when 'coordinator' then 3 else 0 end;

-- The first statement of every transaction of the service: who is asking, and may they do what the route needs?
-- Raises GW401 or GW403, which undoes whatever stands behind it in the same pipeline.
create function gw.session_enter(token bytea, need text)
  returns table (person uuid, role text, expires_at timestamptz)
  language plpgsql security definer set search_path = gw, pg_temp as
$$
begin
  select s.person, p.role, s.expires_at into person, role, expires_at
  from gw.session s join gw.person p on p.id = s.person
  where s.token_hash = token and s.expires_at > now() and p.disabled_at is null;
  if not found then
    raise exception 'please sign in' using errcode = 'GW401';
  end if;
  if gw.role_rank(role) < gw.role_rank(need) then
    raise exception 'this needs the role %', need using errcode = 'GW403';
  end if;
  perform set_config('gw.person', person::text, true), set_config('gw.role', role, true);
  return next;
end
$$;

-- What a sign-in needs to know: whose account, its hash, and how long this account or address must wait first.
-- Five failures in fifteen minutes are free; then the wait doubles from 2 s up to 5 minutes, and never locks for good.
create function gw.signin_lookup(email text, who text, address text)
  returns table (person uuid, name text, role text, passphrase_hash text, wait_seconds int)
  language plpgsql security definer set search_path = gw, pg_temp as
$$
declare
  failures int;
  last     timestamptz;
begin
  select p.id, p.name, p.role, a.passphrase_hash into person, name, role, passphrase_hash
  from gw.account a join gw.person p on p.id = a.person
  where lower(a.email) = lower(signin_lookup.email) and p.disabled_at is null;

  select greatest(count(*) filter (where f.who = signin_lookup.who),
                  count(*) filter (where f.address = signin_lookup.address) / 4), max(f.failed_at)
    into failures, last
  from gw.signin_attempt f
  where (f.who = signin_lookup.who or f.address = signin_lookup.address) and f.failed_at > now() - interval '15 minutes';
  wait_seconds := case when failures < 5 then 0
    else greatest(0, ceil(least(300, 2 ^ (least(failures, 14) - 4)) - extract(epoch from now() - last)))::int end;
  return next;
end
$$;

create function gw.signin_failed(who text, address text) returns void
  language plpgsql security definer set search_path = gw, pg_temp as
$$
begin
  delete from gw.signin_attempt where failed_at < now() - interval '1 hour';
  insert into gw.signin_attempt (who, address) values (who, address);
end
$$;

create function gw.session_open(token bytea, who text, person uuid, seconds int, bearer boolean)
  returns timestamptz
  language plpgsql security definer set search_path = gw, pg_temp as
$$
declare
  ends timestamptz := now() + make_interval(secs => seconds);
begin
  delete from gw.session s where s.expires_at < now();
  delete from gw.signin_attempt f where f.who = session_open.who;
  insert into gw.session (token_hash, person, bearer, expires_at) values (token, person, bearer, ends);
  return ends;
end
$$;

create function gw.session_close(token bytea) returns void
  language sql security definer set search_path = gw, pg_temp
  begin atomic
    delete from gw.session where token_hash = token;
  end;

-- Make a person and the one-time link with which they set their passphrase. For coordinators, and for the owner's
-- command line, which makes the first of them.
create function gw.person_invite(name text, email text, role text, token bytea, days int) returns uuid
  language plpgsql security definer set search_path = gw, pg_temp as
$$
declare
  made uuid;
begin
  if not (gw.coordinator() or session_user = 'gramwell_owner' or pg_has_role(session_user, 'gramwell_owner', 'usage')) then
    raise exception 'only a coordinator invites' using errcode = 'GW403';
  end if;
  insert into gw.person (name, role) values (name, role) returning id into made;
  insert into gw.account (person, email) values (made, email);
  insert into gw.invitation (token_hash, person, made_by, expires_at)
    values (token, made, gw.me(), now() + make_interval(days => days));
  insert into gw.audit (person, what, subject, detail)
    values (gw.me(), 'person_invited', made, jsonb_build_object('role', role));
  return made;
end
$$;

create function gw.invitation_look(token bytea)
  returns table (name text, email text, role text, expires_at timestamptz)
  language sql stable security definer set search_path = gw, pg_temp
  begin atomic
    select p.name, a.email, p.role, i.expires_at
    from gw.invitation i join gw.person p on p.id = i.person join gw.account a on a.person = p.id
    where i.token_hash = token and i.spent_at is null and i.expires_at > now() and p.disabled_at is null;
  end;

-- No row when the link is unknown, spent or too old. Old sessions of the person end.
create function gw.invitation_spend(token bytea, hash text)
  returns table (person uuid, name text, role text)
  language plpgsql security definer set search_path = gw, pg_temp as
$$
begin
  update gw.invitation i set spent_at = now()
  where i.token_hash = token and i.spent_at is null and i.expires_at > now()
  returning i.person into person;
  if not found then
    return;
  end if;
  update gw.account a set passphrase_hash = hash where a.person = invitation_spend.person;
  delete from gw.session s where s.person = invitation_spend.person;
  insert into gw.audit (person, what, subject) values (invitation_spend.person, 'passphrase_set', invitation_spend.person);
  select p.name, p.role into name, role from gw.person p where p.id = invitation_spend.person;
  return next;
end
$$;

create function gw.person_invited(person uuid) returns boolean
  language sql stable security definer set search_path = gw, pg_temp
  begin atomic
    select passphrase_hash is null from gw.account a where a.person = person_invited.person;
  end;
comment on function gw.person_invited(uuid) is 'True while the invitation has not been used.';

-- Not "from public" alone: each function is granted by name to those who call it, before it goes to its owner.
revoke all on function gw.session_enter(bytea, text), gw.signin_lookup(text, text, text), gw.signin_failed(text, text),
  gw.session_open(bytea, text, uuid, int, boolean), gw.session_close(bytea), gw.person_invite(text, text, text, bytea, int),
  gw.invitation_look(bytea), gw.invitation_spend(bytea, text), gw.person_invited(uuid) from public;
grant execute on function gw.session_enter(bytea, text), gw.signin_lookup(text, text, text), gw.signin_failed(text, text),
  gw.session_open(bytea, text, uuid, int, boolean), gw.session_close(bytea), gw.person_invite(text, text, text, bytea, int),
  gw.invitation_look(bytea), gw.invitation_spend(bytea, text), gw.person_invited(uuid) to gramwell_app;
alter function gw.session_enter(bytea, text) owner to gramwell_signin;
alter function gw.signin_lookup(text, text, text) owner to gramwell_signin;
alter function gw.signin_failed(text, text) owner to gramwell_signin;
alter function gw.session_open(bytea, text, uuid, int, boolean) owner to gramwell_signin;
alter function gw.session_close(bytea) owner to gramwell_signin;
alter function gw.person_invite(text, text, text, bytea, int) owner to gramwell_signin;
alter function gw.invitation_look(bytea) owner to gramwell_signin;
alter function gw.invitation_spend(bytea, text) owner to gramwell_signin;
alter function gw.person_invited(uuid) owner to gramwell_signin;
-- For the owner's command line; a right given to oneself would have gone with the function.
set local role gramwell_signin;
grant execute on function gw.person_invite(text, text, text, bytea, int) to gramwell_owner;
reset role;
