-- 0007 alert: what a coordinator must decide on, its evidence, and its course to an outcome.
--
-- Adds     gw.alert, gw.alert_evidence, gw.step, gw.missed_checks().
-- Locks    new tables; keys briefly lock the tables they point to against writes.
-- Undo     drop the tables and the function.

create table gw.alert (
  id          uuid primary key default gen_random_uuid(),
  kind        text not null constraint alert_kind_known
                check (kind in ('loss', 'stall', 'gain', 'dental', 'finding', 'spread', 'scale', 'missed')),
  level       gw.level not null,
  was_level   gw.level,
  state       text not null default 'waiting' constraint alert_state_known check (state in ('waiting', 'in_hand', 'settled')),
  animal      uuid references gw.animal on delete cascade,
  home        uuid not null references gw.home on delete cascade,
  scale       uuid references gw.scale on delete cascade,
  sign_group  text references gw.sign_group on delete restrict,
  subject     uuid not null generated always as (coalesce(scale, animal, home)) stored,
  topic       text not null generated always as (kind || coalesce(':' || sign_group, '')) stored,
  opened_at   timestamptz not null,
  raised_at   timestamptz not null,
  recorded_at timestamptz not null default now(),
  evidence_at timestamptz not null,
  reasons     text[] not null default '{}',
  signs       text[] not null default '{}',
  facts       json not null default '{}',
  taken_by    uuid references gw.person on delete set null,
  due_at      timestamptz,
  outcome     text constraint alert_outcome_known check (outcome in
                ('ill', 'injured', 'benign', 'known_normal', 'measuring_error', 'pregnant', 'died', 'other')),
  settled_at  timestamptz,
  version     int not null default 1,
  constraint alert_settled_has_time check ((state = 'settled') = (settled_at is not null)),
  constraint alert_about_one_thing check (
    case kind when 'scale' then scale is not null when 'spread' then animal is null and sign_group is not null
              else animal is not null end)
);
-- One open alert for one subject and topic: new evidence joins it.
create unique index alert_one_open on gw.alert (subject, topic) where state <> 'settled';
create index alert_open on gw.alert (level desc, opened_at) where state <> 'settled';
create index alert_settled on gw.alert (settled_at desc) where state = 'settled';
create index alert_subject on gw.alert (subject, topic, settled_at desc);
create index alert_home on gw.alert (home) where state <> 'settled';
comment on column gw.alert.opened_at is 'When the first evidence was seen; recorded_at is when the server heard of it.';
comment on column gw.alert.raised_at is 'When it last rose to its present level: waiting is counted from here.';
comment on column gw.alert.facts is 'The numbers behind the newest evidence, as the engine gave them.';

create table gw.alert_evidence (
  alert       uuid not null references gw.alert on delete cascade,
  "check"     uuid not null references gw.check on delete cascade,
  home        uuid not null,
  at          timestamptz not null,
  level       gw.level not null,
  kind        text not null,
  reasons     text[] not null default '{}',
  signs       text[] not null default '{}',
  recorded_at timestamptz not null default now(),
  primary key (alert, "check")
);

create table gw.step (
  id          uuid primary key,
  alert       uuid not null references gw.alert on delete cascade,
  home        uuid not null,
  step        text not null constraint step_known check (step in
                ('taken', 'reweigh_asked', 'vet_booked', 'vet_seen', 'watching', 'settled', 'reopened', 'note')),
  outcome     text constraint step_outcome_known check (outcome in
                ('ill', 'injured', 'benign', 'known_normal', 'measuring_error', 'pregnant', 'died', 'other')),
  note        text check (length(note) <= 2000),
  due_at      timestamptz,
  at          timestamptz not null,
  recorded_at timestamptz not null default now(),
  person      uuid references gw.person on delete set null,
  constraint step_settled_has_outcome check ((step = 'settled') = (outcome is not null)),
  constraint step_note_has_text check (step <> 'note' or length(note) > 0),
  constraint step_not_future check (at <= recorded_at + interval '5 minutes')
);
create index step_alert on gw.step (alert, at);

alter table gw.alert          enable row level security;  alter table gw.alert          force row level security;
alter table gw.alert_evidence enable row level security;  alter table gw.alert_evidence force row level security;
alter table gw.step           enable row level security;  alter table gw.step           force row level security;

create policy alert_read on gw.alert for select to gramwell_app
  using ((select gw.desk()) or home = any (array(
    select s.home from gw.serves s where s.person = (select gw.me()) and s.during @> now())));
create policy alert_add on gw.alert for insert to gramwell_app
  with check (state <> 'settled' and ((select gw.desk()) or home = any (array(
    select s.home from gw.serves s where s.person = (select gw.me()) and s.during @> now()))));
-- A volunteer's check may add to an alert or raise it; settling and taking are the coordinator's. The one exception is
-- a scale that passed its test.
create policy alert_change on gw.alert for update to gramwell_app
  using ((select gw.desk()) or home = any (array(
    select s.home from gw.serves s where s.person = (select gw.me()) and s.during @> now())))
  with check ((select gw.coordinator()) or state = 'waiting' or kind = 'scale' or kind = 'missed'
    or (state = 'in_hand' and taken_by is distinct from (select gw.me())));
-- An alert that nobody has touched goes again when its only check turns out to be the scale's fault.
create policy alert_withdraw on gw.alert for delete to gramwell_app
  using (state = 'waiting' and taken_by is null and ((select gw.desk()) or home = any (array(
    select s.home from gw.serves s where s.person = (select gw.me()) and s.during @> now()))));
create policy alert_report on gw.alert for select to gramwell_read using (true);
create policy alert_count on gw.alert to gramwell_network using (true) with check (kind = 'missed');
grant select, delete on gw.alert to gramwell_app;
grant select on gw.alert to gramwell_read, gramwell_network;
grant insert (kind, level, animal, home, scale, sign_group, opened_at, raised_at, evidence_at, reasons, signs, facts),
      update (level, was_level, state, home, opened_at, raised_at, evidence_at, reasons, signs, facts, taken_by, due_at, outcome,
              settled_at, version) on gw.alert to gramwell_app;
grant insert, update on gw.alert to gramwell_network;

create policy alert_evidence_read on gw.alert_evidence for select to gramwell_app
  using ((select gw.desk()) or home = any (array(
    select s.home from gw.serves s where s.person = (select gw.me()) and s.during @> now())));
create policy alert_evidence_add on gw.alert_evidence for insert to gramwell_app
  with check ((select gw.desk()) or home = any (array(
    select s.home from gw.serves s where s.person = (select gw.me()) and s.during @> now())));
create policy alert_evidence_change on gw.alert_evidence for update to gramwell_app
  using ((select gw.desk()) or home = any (array(
    select s.home from gw.serves s where s.person = (select gw.me()) and s.during @> now())));
create policy alert_evidence_withdraw on gw.alert_evidence for delete to gramwell_app
  using ((select gw.desk()) or home = any (array(
    select s.home from gw.serves s where s.person = (select gw.me()) and s.during @> now())));
create policy alert_evidence_report on gw.alert_evidence for select to gramwell_read using (true);
grant select, delete on gw.alert_evidence to gramwell_app;
grant select on gw.alert_evidence to gramwell_read;
grant insert (alert, "check", home, at, level, kind, reasons, signs),
      update (home, level, kind, reasons, signs) on gw.alert_evidence to gramwell_app;

create policy step_read on gw.step for select to gramwell_app
  using ((select gw.desk()) or home = any (array(
    select s.home from gw.serves s where s.person = (select gw.me()) and s.during @> now())));
create policy step_add on gw.step for insert to gramwell_app
  with check ((select gw.coordinator()) and person = (select gw.me()));
create policy step_report on gw.step for select to gramwell_read using (true);
grant select on gw.step to gramwell_app, gramwell_read;
grant insert (id, alert, home, step, outcome, note, due_at, at, person) on gw.step to gramwell_app;

-- Raise an alert for every animal whose check is late, and settle those whose check has been made. Returns how many
-- alerts are open. Called by the server's clock, for no person: it sees due dates only.
create function gw.missed_checks(grace_days int) returns int
  language plpgsql security definer set search_path = gw, pg_temp as
$$
declare
  open_now int;
begin
  update gw.alert a set state = 'settled', settled_at = now(), outcome = 'other', version = a.version + 1
  from gw.animal_state s
  where a.kind = 'missed' and a.state <> 'settled' and s.animal = a.animal and s.due_on > current_date - grace_days;

  insert into gw.alert (kind, level, animal, home, opened_at, raised_at, evidence_at, facts)
  select 'missed', 'watch', s.animal, s.home, s.due_on + grace_days, s.due_on + grace_days, now(),
         json_build_object('due_on', s.due_on, 'checked_on', s.checked_on)
  from gw.animal_state s join gw.animal n on n.id = s.animal
  where n.status = 'here' and s.due_on <= current_date - grace_days
  on conflict (subject, topic) where state <> 'settled' do nothing;

  select count(*) into open_now from gw.alert where kind = 'missed' and state <> 'settled';
  return open_now;
end
$$;
revoke all on function gw.missed_checks(int) from public;
grant execute on function gw.missed_checks(int) to gramwell_app;
alter function gw.missed_checks(int) owner to gramwell_network;

-- The definer roles own their functions now and make nothing more.
revoke create on schema gw from gramwell_signin, gramwell_network;
