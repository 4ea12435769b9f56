-- 0004 animal: identity, arrivals, stays, known normals and events.
--
-- Adds     gw.animal, gw.animal_state, gw.arrival, gw.stay, gw.known_normal, gw.event, tags.
-- Locks    new tables; keys briefly lock gw.home and gw.pen against writes.
-- Undo     drop the tables and gw.new_tag().

create table gw.animal (
  id               uuid primary key,
  tag              text not null,
  name             text not null check (length(name) between 1 and 80),
  species          text not null references gw.species on delete restrict,
  sex              text not null constraint animal_sex_known check (sex in ('female', 'male', 'unknown')),
  neutered         boolean,
  birth            date,
  birth_precision  text constraint animal_birth_precision_known
                     check (birth_precision in ('day', 'month', 'year', 'guess')),
  stage            text not null default 'unknown' constraint animal_stage_known
                     check (stage in ('young', 'adult', 'senior', 'unknown')),
  adult_grams      numeric(7, 1) check (adult_grams between 1 and 15000),
  coat             text check (length(coat) <= 80),
  markings         text check (length(markings) <= 200),
  chip             text constraint animal_chip_form
                     check (chip ~ '^([0-9]{15}|[0-9A-F]{9,10})$' and (length(chip) <> 15 or right(chip, 12)::bigint <= 274877906943)),
  status           text not null default 'here' constraint animal_status_known check (status in ('here', 'gone')),
  home             uuid references gw.home on delete restrict,
  pen              uuid references gw.pen on delete set null,
  arrived          date,
  check_every_days int not null default 7 check (check_every_days between 1 and 90),
  sensitivity      numeric(3, 2) not null default 0 check (sensitivity between -1.5 and 1.5),
  note             text check (length(note) <= 2000),
  created_at       timestamptz not null default now(),
  constraint animal_here_has_home check (status <> 'here' or home is not null),
  constraint animal_birth_told_how check (birth is null or birth_precision is not null)
);
create unique index animal_tag_once on gw.animal (tag);
create unique index animal_chip_once on gw.animal (chip);
create index animal_home on gw.animal (home, status) include (id);
create index animal_name on gw.animal (name, id);
comment on column gw.animal.tag is 'Four characters of Crockford base32 and a check character (value modulo 37).';
comment on column gw.animal.chip is 'ISO 11784 as 15 digits (identity at most 274877906943), or 9 or 10 characters: a chip outside that standard.';
comment on column gw.animal.home is 'Present home, the same as the open stay; kept here for the row policies.';

-- What changes with every check stands apart, so that a volunteer who may log a check cannot rename an animal.
create table gw.animal_state (
  animal     uuid primary key references gw.animal on delete cascade,
  home       uuid references gw.home on delete restrict,
  version    bigint not null default 0,
  checked_at timestamptz,
  checked_on date,
  weighed_at timestamptz,
  grams      numeric(7, 1),
  level      gw.level not null default 'steady',
  kind       text not null default 'none',
  due_on     date
);
create index animal_state_home on gw.animal_state (home, due_on);
create index animal_state_due on gw.animal_state (due_on);
comment on column gw.animal_state.version is 'Grows with every change that a verdict depends on: a check is written only on the version it was judged by.';
comment on column gw.animal_state.home is 'Present home, as in gw.animal.';

-- A tag nobody has: the four characters are drawn, and those whose check character is no digit or letter are left out.
create function gw.tag_text(n int) returns text language sql immutable
  return (select string_agg(substr('0123456789ABCDEFGHJKMNPQRSTVWXYZ', ((n >> (5 * i)) & 31) + 1, 1), '' order by i desc)
          from generate_series(0, 3) as i) || substr('0123456789ABCDEFGHJKMNPQRSTVWXYZ*~$=U', n % 37 + 1, 1);

create function gw.new_tag() returns text
  language plpgsql volatile security definer set search_path = gw, pg_temp as
$$
declare
  n    int;
  made text;
begin
  for attempt in 1 .. 200 loop
    n := floor(random() * 1048576)::int;
    made := gw.tag_text(n);
    if n % 37 < 32 and not exists (select from gw.animal a where a.tag = made) then
      return made;
    end if;
  end loop;
  raise exception 'no free tag was found';
end
$$;
alter table gw.animal alter column tag set default gw.new_tag();

create table gw.arrival (
  id           uuid primary key,
  animal       uuid not null references gw.animal on delete cascade,
  kind         text not null constraint arrival_kind_known
                 check (kind in ('surrender', 'stray', 'seizure', 'transfer', 'born_here', 'boarding')),
  at           timestamptz not null,
  from_whom    text check (length(from_whom) <= 200),
  note         text check (length(note) <= 2000),
  person       uuid references gw.person on delete set null,
  request_hash bytea not null,
  recorded_at  timestamptz not null default now(),
  constraint arrival_not_future check (at <= recorded_at + interval '5 minutes')
);
create index arrival_animal on gw.arrival (animal);

create table gw.stay (
  id     uuid primary key default gen_random_uuid(),
  animal uuid not null references gw.animal on delete cascade,
  home   uuid not null references gw.home on delete restrict,
  pen    uuid references gw.pen on delete set null,
  during tstzrange not null,
  constraint stay_not_empty check (not isempty(during) and isfinite(lower(during)) and coalesce(isfinite(upper(during)), true)),
  constraint stay_no_overlap exclude using gist (animal with =, during with &&)
);
create index stay_home on gw.stay (home);

create table gw.known_normal (
  id            uuid primary key,
  animal        uuid not null references gw.animal on delete cascade,
  home          uuid,
  sign          text not null references gw.sign on delete restrict,
  up_to         text not null constraint known_normal_grade_known check (up_to in ('slight', 'marked')),
  said_by       text check (length(said_by) <= 120),
  vet_confirmed boolean not null default false,
  person        uuid references gw.person on delete set null,
  recorded_at   timestamptz not null default now(),
  ended_at      timestamptz
);
create unique index known_normal_once on gw.known_normal (animal, sign) where ended_at is null;
comment on table gw.known_normal is 'A sign that is usual for this animal up to a grade.';

create table gw.event (
  id          uuid primary key,
  animal      uuid not null references gw.animal on delete cascade,
  home        uuid,
  event       text not null constraint event_kind_known
                check (event in ('pregnant', 'gave_birth', 'surgery', 'diet_change', 'journey', 'bonding')),
  during      daterange not null,
  note        text check (length(note) <= 500),
  person      uuid references gw.person on delete set null,
  recorded_at timestamptz not null default now(),
  constraint event_not_empty check (not isempty(during) and isfinite(lower(during)) and coalesce(isfinite(upper(during)), true))
);
create index event_animal on gw.event (animal);
comment on table gw.event is 'A period that changes what weight means.';

alter table gw.animal       enable row level security;  alter table gw.animal       force row level security;
alter table gw.animal_state enable row level security;  alter table gw.animal_state force row level security;
alter table gw.arrival      enable row level security;  alter table gw.arrival      force row level security;
alter table gw.stay         enable row level security;  alter table gw.stay         force row level security;
alter table gw.known_normal enable row level security;  alter table gw.known_normal force row level security;
alter table gw.event        enable row level security;  alter table gw.event        force row level security;

create policy animal_read on gw.animal for select to gramwell_app
  using ((select gw.desk()) or home = any (array(
    select s.home from gw.serves s where s.person = (select gw.me()) and s.during @> now())));
create policy animal_add on gw.animal for insert to gramwell_app with check ((select gw.desk()));
create policy animal_change on gw.animal for update to gramwell_app using ((select gw.desk()));
create policy animal_report on gw.animal for select to gramwell_read using (true);
create policy animal_count on gw.animal for select to gramwell_network using (true);
grant select on gw.animal to gramwell_app, gramwell_read, gramwell_network;
grant insert (id, name, species, sex, neutered, birth, birth_precision, stage, adult_grams, coat, markings, chip, home, pen,
              arrived, check_every_days, note),
      update (name, species, sex, neutered, birth, birth_precision, stage, adult_grams, coat, markings, chip, status, home,
              pen, check_every_days, sensitivity, note) on gw.animal to gramwell_app;

create policy animal_state_read on gw.animal_state for select to gramwell_app
  using ((select gw.desk()) or home = any (array(
    select s.home from gw.serves s where s.person = (select gw.me()) and s.during @> now())));
create policy animal_state_add on gw.animal_state for insert to gramwell_app with check ((select gw.desk()));
create policy animal_state_change on gw.animal_state for update to gramwell_app
  using ((select gw.desk()) or home = any (array(
    select s.home from gw.serves s where s.person = (select gw.me()) and s.during @> now())));
create policy animal_state_report on gw.animal_state for select to gramwell_read using (true);
create policy animal_state_count on gw.animal_state for select to gramwell_network using (true);
grant select, insert on gw.animal_state to gramwell_app;
grant update (home, version, checked_at, checked_on, weighed_at, grams, level, kind, due_on) on gw.animal_state to gramwell_app;
grant select on gw.animal_state to gramwell_read, gramwell_network;

-- From whom an animal came is for intake staff and coordinators.
create policy arrival_read on gw.arrival for select to gramwell_app using ((select gw.desk()));
create policy arrival_add on gw.arrival for insert to gramwell_app
  with check ((select gw.desk()) and person = (select gw.me()));
create policy arrival_report on gw.arrival for select to gramwell_read using (true);
grant select on gw.arrival to gramwell_app, gramwell_read;
grant insert (id, animal, kind, at, from_whom, note, person, request_hash) on gw.arrival to gramwell_app;

create policy stay_read on gw.stay for select to gramwell_app
  using ((select gw.desk()) or home = any (array(
    select s.home from gw.serves s where s.person = (select gw.me()) and s.during @> now())));
create policy stay_add on gw.stay for insert to gramwell_app with check ((select gw.desk()));
create policy stay_change on gw.stay for update to gramwell_app using ((select gw.desk()));
create policy stay_report on gw.stay for select to gramwell_read using (true);
grant select on gw.stay to gramwell_app, gramwell_read;
grant insert (animal, home, pen, during), update (during, pen) on gw.stay to gramwell_app;

create policy known_normal_read on gw.known_normal for select to gramwell_app
  using ((select gw.desk()) or home = any (array(
    select s.home from gw.serves s where s.person = (select gw.me()) and s.during @> now())));
-- Only a coordinator may write down that a vet has confirmed it.
create policy known_normal_add on gw.known_normal for insert to gramwell_app
  with check (person = (select gw.me()) and ((select gw.coordinator()) or not vet_confirmed)
    and ((select gw.desk()) or home = any (array(
    select s.home from gw.serves s where s.person = (select gw.me()) and s.during @> now()))));
create policy known_normal_change on gw.known_normal for update to gramwell_app using ((select gw.desk()));
create policy known_normal_report on gw.known_normal for select to gramwell_read using (true);
grant select on gw.known_normal to gramwell_app, gramwell_read;
grant insert (id, animal, home, sign, up_to, said_by, vet_confirmed, person), update (home, ended_at) on gw.known_normal
  to gramwell_app;

create policy event_read on gw.event for select to gramwell_app
  using ((select gw.desk()) or home = any (array(
    select s.home from gw.serves s where s.person = (select gw.me()) and s.during @> now())));
create policy event_add on gw.event for insert to gramwell_app
  with check (person = (select gw.me()) and ((select gw.desk()) or home = any (array(
    select s.home from gw.serves s where s.person = (select gw.me()) and s.during @> now()))));
create policy event_change on gw.event for update to gramwell_app using ((select gw.desk()));
create policy event_report on gw.event for select to gramwell_read using (true);
grant select on gw.event to gramwell_app, gramwell_read;
grant insert (id, animal, home, event, during, note, person), update (home, during) on gw.event to gramwell_app;

revoke all on function gw.new_tag() from public;
grant execute on function gw.new_tag() to gramwell_app;
alter function gw.new_tag() owner to gramwell_network;
