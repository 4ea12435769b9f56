-- 0005 scale: the scales of the homes and their tests with a known mass.
--
-- Adds     gw.scale, gw.scale_test.
-- Locks    new tables; keys briefly lock gw.home against writes.
-- Undo     drop table gw.scale_test, gw.scale.

create table gw.scale (
  id         uuid primary key,
  home       uuid not null references gw.home on delete restrict,
  name       text not null check (length(name) between 1 and 80),
  step       numeric(5, 1) not null constraint scale_step_range check (step between 0.1 and 100),
  capacity   numeric(8, 1) not null constraint scale_capacity_range check (capacity between 10 and 100000),
  retired_at timestamptz,
  created_at timestamptz not null default now()
);
create unique index scale_name_once on gw.scale (home, lower(name));
comment on column gw.scale.step is 'Grams between two readings the display can show.';

create table gw.scale_test (
  id           uuid primary key,
  scale        uuid not null references gw.scale on delete cascade,
  home         uuid not null references gw.home on delete restrict,
  at           timestamptz not null,
  mass         numeric(7, 1) not null constraint scale_test_mass_range check (mass between 1 and 30000),
  reading      numeric(7, 1) not null constraint scale_test_reading_range check (reading between 0 and 30000),
  allowed      numeric(6, 2) not null check (allowed > 0),
  passed       boolean not null,
  person       uuid references gw.person on delete set null,
  request_hash bytea not null,
  recorded_at  timestamptz not null default now(),
  constraint scale_test_not_future check (at <= recorded_at + interval '5 minutes')
);
create index scale_test_newest on gw.scale_test (scale, at desc);
comment on column gw.scale_test.mass is 'Grams: the known mass that was put on the scale.';
comment on column gw.scale_test.allowed is 'Grams: the largest error for this step and load (OIML R 76, in service).';

alter table gw.scale      enable row level security;  alter table gw.scale      force row level security;
alter table gw.scale_test enable row level security;  alter table gw.scale_test force row level security;

create policy scale_read on gw.scale for select to gramwell_app
  using ((select gw.desk()) or home = any (array(
    select s.home from gw.serves s where s.person = (select gw.me()) and s.during @> now())));
create policy scale_add on gw.scale for insert to gramwell_app with check ((select gw.desk()));
create policy scale_change on gw.scale for update to gramwell_app using ((select gw.desk()));
create policy scale_report on gw.scale for select to gramwell_read using (true);
grant select on gw.scale to gramwell_app, gramwell_read;
grant insert (id, home, name, step, capacity), update (home, name, step, capacity, retired_at) on gw.scale to gramwell_app;

create policy scale_test_read on gw.scale_test for select to gramwell_app
  using ((select gw.desk()) or home = any (array(
    select s.home from gw.serves s where s.person = (select gw.me()) and s.during @> now())));
create policy scale_test_add on gw.scale_test for insert to gramwell_app
  with check (person = (select gw.me()) and ((select gw.desk()) or home = any (array(
    select s.home from gw.serves s where s.person = (select gw.me()) and s.during @> now()))));
create policy scale_test_report on gw.scale_test for select to gramwell_read using (true);
grant select on gw.scale_test to gramwell_app, gramwell_read;
grant insert (id, scale, home, at, mass, reading, allowed, passed, person, request_hash) on gw.scale_test to gramwell_app;
