-- 0006 check: a hands-on examination, what was seen, the weight, and the engine's verdict.
--
-- Adds     gw.check, gw.finding, gw.verdict, gw.home_week.
-- Locks    new tables; keys briefly lock the tables they point to against writes.
-- Undo     drop the tables; once they hold real checks, restore from backup instead.

create table gw.check (
  id           uuid primary key,                -- made on the phone: a resend after a lost reply is the same row
  animal       uuid not null references gw.animal on delete cascade,
  home         uuid,
  made_in      uuid not null references gw.home on delete restrict,
  person       uuid references gw.person on delete set null,
  kind         text not null constraint check_kind_known check (kind in ('baseline', 'weekly', 'extra', 'weigh_only')),
  at           timestamptz not null,            -- when it was made, by the phone's clock
  day          date not null,                   -- the home's day
  minutes      int check (minutes between 0 and 600),
  answers      jsonb not null default '{}',
  note         text check (length(note) <= 2000),
  scale        uuid references gw.scale on delete restrict,
  step         numeric(5, 1),
  readings     numeric(7, 1)[],
  grams        numeric(7, 1) constraint check_grams_range check (grams between 0.1 and 30000),
  zeroed       boolean,
  confirmed    boolean not null default false,
  mouth_looked int not null default 0,
  mouth_seen   int not null default 0,
  sign_level   gw.level not null default 'steady',
  request_hash bytea not null,
  received_at  timestamptz not null default now(),
  constraint check_not_future check (at <= received_at + interval '5 minutes'),
  constraint check_weighing_whole check ((grams is null) = (readings is null) and (grams is null) = (scale is null)),
  constraint check_readings_number check (readings is null or array_length(readings, 1) between 1 and 5),
  constraint check_weigh_only_has_weight check (kind <> 'weigh_only' or grams is not null)
);
-- The engine and the chart read one animal by time. home is in the index for the row policy.
create index check_animal on gw.check (animal, at desc) include (grams, home);
create index check_session on gw.check (scale, at) where scale is not null;
create index check_made_in on gw.check (made_in, at);
-- For what the whole network did in the last weeks (gw.spread_counts). Checks arrive nearly in order of time, so a few
-- pages of block ranges serve ten million rows and cost a write next to nothing.
create index check_recent on gw.check using brin (at);
comment on table gw.check is 'Never updated: what a person recorded stays. home alone follows the animal, for the row policies.';
comment on column gw.check.answers is 'Region -> as_usual, not_looked_at or findings: all regions in one value.';
comment on column gw.check.home is 'The animal''s present home; made_in is the home where the check was made.';
comment on column gw.check.grams is 'Median of the readings: the accepted weight, bowl zeroed off.';
comment on column gw.check.mouth_seen is 'Bits of the sign groups teeth 1, chin 2, food 4 seen and not a known normal; for the engine.';
comment on column gw.check.request_hash is 'Hash of the meaning of the request: the same check again is known by it.';

create table gw.finding (
  "check"    uuid not null references gw.check on delete cascade,
  sign       text not null references gw.sign on delete restrict,
  animal     uuid not null,
  home       uuid,
  made_in    uuid not null,
  at         timestamptz not null,
  region     text not null,
  sign_group text,
  grade      text not null constraint finding_grade_known check (grade in ('slight', 'marked')),
  side       text constraint finding_side_known check (side in ('left', 'right', 'both')),
  note       text check (length(note) <= 500),
  usual      boolean not null default false,
  primary key ("check", sign)
);
create index finding_group on gw.finding (sign_group, at) include (made_in, animal, usual) where sign_group is not null;
create index finding_made_in on gw.finding (made_in, at);
comment on column gw.finding.usual is 'Covered by a known normal when the check was made.';

create table gw.verdict (
  "check"     uuid primary key references gw.check on delete cascade,
  animal      uuid not null,
  home        uuid,
  at          timestamptz not null,
  level       gw.level not null,
  kind        text not null,
  quality     text not null constraint verdict_quality_known check (quality in ('plain', 'reweigh', 'set_aside')),
  by_session  boolean not null default false,
  body        json not null,
  alone       json not null,
  computed_at timestamptz not null default now()
);
create index verdict_animal on gw.verdict (animal, at desc);
comment on table gw.verdict is 'What the engine says of the weighing of a check. Worked out again when a late check or an event changes the past.';
comment on column gw.verdict.body is 'The verdict as the API gives it.';
comment on column gw.verdict.by_session is 'Set aside by what its session said (bowl not at zero), not by the animal''s own past.';
comment on column gw.verdict.alone is 'The animal''s own verdict in full precision, before the session had its say.';

create table gw.home_week (
  home   uuid not null references gw.home on delete cascade,
  week   date not null,
  looked int[] not null,
  found  int[] not null,
  marked int[] not null,
  primary key (home, week)
);
create index home_week_week on gw.home_week (week);
comment on table gw.home_week is 'Answers counted by the home in which they were given and week (its Monday); positions as gw.region.position. Kept in the transaction of the check.';

-- A check is written on the version of the animal that it was judged by; otherwise nothing is, and it is judged again.
create function gw.must_claim(written bigint) returns void language plpgsql immutable as
$$
begin
  if written = 0 then
    raise exception 'the animal was changed meanwhile' using errcode = 'GW412';
  end if;
end
$$;

create function gw.add_counts(a int[], b int[]) returns int[] language sql immutable
  return (select array_agg(coalesce(x, 0) + coalesce(y, 0) order by i) from unnest(a, b) with ordinality as t(x, y, i));

alter table gw.check     enable row level security;  alter table gw.check     force row level security;
alter table gw.finding   enable row level security;  alter table gw.finding   force row level security;
alter table gw.verdict   enable row level security;  alter table gw.verdict   force row level security;
alter table gw.home_week enable row level security;  alter table gw.home_week force row level security;

create policy check_read on gw.check for select to gramwell_app
  using ((select gw.desk()) or home = any (array(
    select s.home from gw.serves s where s.person = (select gw.me()) and s.during @> now())));
create policy check_add on gw.check for insert to gramwell_app
  with check (person = (select gw.me()) and ((select gw.desk()) or home = any (array(
    select s.home from gw.serves s where s.person = (select gw.me()) and s.during @> now()))));
create policy check_follow on gw.check for update to gramwell_app using ((select gw.desk()));
create policy check_report on gw.check for select to gramwell_read using (true);
create policy check_count on gw.check for select to gramwell_network using (true);
grant select on gw.check to gramwell_app, gramwell_read, gramwell_network;
grant insert (id, animal, home, made_in, person, kind, at, day, minutes, answers, note, scale, step, readings, grams, zeroed,
              confirmed, mouth_looked, mouth_seen, sign_level, request_hash),
      update (home) on gw.check to gramwell_app;

create policy finding_read on gw.finding for select to gramwell_app
  using ((select gw.desk()) or home = any (array(
    select s.home from gw.serves s where s.person = (select gw.me()) and s.during @> now())));
create policy finding_add on gw.finding for insert to gramwell_app
  with check ((select gw.desk()) or home = any (array(
    select s.home from gw.serves s where s.person = (select gw.me()) and s.during @> now())));
create policy finding_follow on gw.finding for update to gramwell_app using ((select gw.desk()));
create policy finding_report on gw.finding for select to gramwell_read using (true);
create policy finding_count on gw.finding for select to gramwell_network using (true);
grant select, insert on gw.finding to gramwell_app;
grant update (home) on gw.finding to gramwell_app;
grant select on gw.finding to gramwell_read, gramwell_network;

create policy verdict_read on gw.verdict for select to gramwell_app
  using ((select gw.desk()) or home = any (array(
    select s.home from gw.serves s where s.person = (select gw.me()) and s.during @> now())));
create policy verdict_add on gw.verdict for insert to gramwell_app
  with check ((select gw.desk()) or home = any (array(
    select s.home from gw.serves s where s.person = (select gw.me()) and s.during @> now())));
create policy verdict_change on gw.verdict for update to gramwell_app
  using ((select gw.desk()) or home = any (array(
    select s.home from gw.serves s where s.person = (select gw.me()) and s.during @> now())));
create policy verdict_report on gw.verdict for select to gramwell_read using (true);
grant select, insert, update on gw.verdict to gramwell_app;
grant select on gw.verdict to gramwell_read;

create policy home_week_read on gw.home_week for select to gramwell_app
  using ((select gw.desk()) or home = any (array(
    select s.home from gw.serves s where s.person = (select gw.me()) and s.during @> now())));
create policy home_week_add on gw.home_week for insert to gramwell_app
  with check ((select gw.desk()) or home = any (array(
    select s.home from gw.serves s where s.person = (select gw.me()) and s.during @> now())));
create policy home_week_change on gw.home_week for update to gramwell_app
  using ((select gw.desk()) or home = any (array(
    select s.home from gw.serves s where s.person = (select gw.me()) and s.during @> now())));
create policy home_week_report on gw.home_week for select to gramwell_read using (true);
create policy home_week_count on gw.home_week for select to gramwell_network using (true);
grant select, insert on gw.home_week to gramwell_app;
grant update (looked, found, marked) on gw.home_week to gramwell_app;
grant select on gw.home_week to gramwell_read, gramwell_network;

-- How often each region has findings in the rest of the network: rates only, nothing of another home. Of more than 300
-- other homes always the same 300, drawn by a hash: a rate from thousands of looks, in bounded time.
create function gw.rest_rates(home uuid, first_week date)
  returns table (region_position int, looked bigint, found bigint)
  language sql stable security definer set search_path = gw, pg_temp
  begin atomic
    with drawn as (
      select h.id from gw.home h where h.id <> rest_rates.home order by uuid_hash(h.id), h.id limit 300
    )
    select t.position::int, sum(t.looked), sum(t.found)
    from gw.home_week w, unnest(w.looked, w.found) with ordinality as t(looked, found, position)
    where w.home = any (array(select id from drawn)) and w.week >= first_week
    group by t.position;
  end;

-- Other animals with a sign group, and other animals looked at, in one home and in the rest of the network.
create function gw.spread_counts(home uuid, but_for uuid, sign_group text, since timestamptz, until timestamptz)
  returns table (home_with int, home_animals int, rest_with int, rest_animals int, looks int)
  language sql stable security definer set search_path = gw, pg_temp
  begin atomic
    with seen as (
      select f.made_in = spread_counts.home as here, count(distinct f.animal) as n
      from gw.finding f
      where f.sign_group = spread_counts.sign_group and f.at >= since and f.at <= until and not f.usual
        and f.animal <> but_for
      group by 1
    ), checked as (
      select c.made_in = spread_counts.home as here, count(distinct c.animal) as n
      from gw.check c where c.at >= since and c.at <= until and c.kind <> 'weigh_only' and c.animal <> but_for
      group by 1
    )
    select coalesce((select n from seen where here), 0)::int, coalesce((select n from checked where here), 0)::int,
           coalesce((select n from seen where not here), 0)::int, coalesce((select n from checked where not here), 0)::int,
           greatest(1, (select count(*) from gw.home))::int;
  end;

revoke all on function gw.rest_rates(uuid, date), gw.spread_counts(uuid, uuid, text, timestamptz, timestamptz) from public;
grant execute on function gw.rest_rates(uuid, date), gw.spread_counts(uuid, uuid, text, timestamptz, timestamptz) to gramwell_app;
alter function gw.rest_rates(uuid, date) owner to gramwell_network;
alter function gw.spread_counts(uuid, uuid, text, timestamptz, timestamptz) owner to gramwell_network;
