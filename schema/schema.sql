-- Made by schema/dump from all of schema/migrations. Do not edit.

CREATE SCHEMA gw;

ALTER SCHEMA gw OWNER TO gramwell_owner;

CREATE COLLATION gw.people (provider = icu, locale = 'en-u-kn-true');

ALTER COLLATION gw.people OWNER TO gramwell_owner;

CREATE TYPE gw.level AS ENUM (
    'steady',
    'watch',
    'vet_soon',
    'same_day',
    'emergency'
);

ALTER TYPE gw.level OWNER TO gramwell_owner;

CREATE FUNCTION gw.add_counts(a integer[], b integer[]) RETURNS integer[]
    LANGUAGE sql IMMUTABLE
    RETURN (SELECT array_agg((COALESCE(t.x, 0) + COALESCE(t.y, 0)) ORDER BY t.i) AS array_agg FROM UNNEST(add_counts.a, add_counts.b) WITH ORDINALITY t(x, y, i));

ALTER FUNCTION gw.add_counts(a integer[], b integer[]) OWNER TO gramwell_owner;

CREATE FUNCTION gw.coordinator() RETURNS boolean
    LANGUAGE sql STABLE
    RETURN COALESCE((current_setting('gw.role'::text, true) = 'coordinator'::text), false);

ALTER FUNCTION gw.coordinator() OWNER TO gramwell_owner;

CREATE FUNCTION gw.desk() RETURNS boolean
    LANGUAGE sql STABLE
    RETURN COALESCE((current_setting('gw.role'::text, true) = ANY (ARRAY['intake'::text, 'coordinator'::text])), false);

ALTER FUNCTION gw.desk() OWNER TO gramwell_owner;

COMMENT ON FUNCTION gw.desk() IS 'Intake staff and coordinators work over all homes; a volunteer over those served.';

CREATE TABLE gw.account (
    person uuid NOT NULL,
    email text NOT NULL,
    passphrase_hash text,
    phone text,
    CONSTRAINT account_email_form CHECK (((email ~ '^[^@\s<>]+@[^@\s<>]+$'::text) AND (length(email) <= 254))),
    CONSTRAINT account_phone_check CHECK ((length(phone) <= 40))
);

ALTER TABLE ONLY gw.account FORCE ROW LEVEL SECURITY;

ALTER TABLE gw.account OWNER TO gramwell_owner;

COMMENT ON COLUMN gw.account.passphrase_hash IS 'Argon2id; null until the invitation is used. The service cannot read this column.';

CREATE TABLE gw.invitation (
    token_hash bytea NOT NULL,
    person uuid NOT NULL,
    made_by uuid,
    created_at timestamp with time zone DEFAULT now() NOT NULL,
    expires_at timestamp with time zone NOT NULL,
    spent_at timestamp with time zone,
    CONSTRAINT invitation_token_hash_check CHECK ((length(token_hash) = 32))
);

ALTER TABLE ONLY gw.invitation FORCE ROW LEVEL SECURITY;

ALTER TABLE gw.invitation OWNER TO gramwell_owner;

CREATE TABLE gw.person (
    id uuid DEFAULT gen_random_uuid() NOT NULL,
    name text NOT NULL,
    role text NOT NULL,
    disabled_at timestamp with time zone,
    created_at timestamp with time zone DEFAULT now() NOT NULL,
    CONSTRAINT person_name_check CHECK (((length(name) >= 1) AND (length(name) <= 120))),
    CONSTRAINT person_role_known CHECK ((role = ANY (ARRAY['volunteer'::text, 'intake'::text, 'coordinator'::text])))
);

ALTER TABLE ONLY gw.person FORCE ROW LEVEL SECURITY;

ALTER TABLE gw.person OWNER TO gramwell_owner;

COMMENT ON TABLE gw.person IS 'Someone with an account. What is private about them stands in gw.account.';

CREATE FUNCTION gw.invitation_look(token bytea) RETURNS TABLE(name text, email text, role text, expires_at timestamp with time zone)
    LANGUAGE sql STABLE SECURITY DEFINER
    SET search_path TO 'gw', 'pg_temp'
    BEGIN ATOMIC
 SELECT p.name,
     a.email,
     p.role,
     i.expires_at
    FROM ((gw.invitation i
      JOIN gw.person p ON ((p.id = i.person)))
      JOIN gw.account a ON ((a.person = p.id)))
   WHERE ((i.token_hash = invitation_look.token) AND (i.spent_at IS NULL) AND (i.expires_at > now()) AND (p.disabled_at IS NULL));
END;

ALTER FUNCTION gw.invitation_look(token bytea) OWNER TO gramwell_signin;

CREATE FUNCTION gw.invitation_spend(token bytea, hash text) RETURNS TABLE(person uuid, name text, role text)
    LANGUAGE plpgsql SECURITY DEFINER
    SET search_path TO 'gw', 'pg_temp'
    AS $$
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

ALTER FUNCTION gw.invitation_spend(token bytea, hash text) OWNER TO gramwell_signin;

CREATE FUNCTION gw.me() RETURNS uuid
    LANGUAGE sql STABLE
    RETURN (NULLIF(current_setting('gw.person'::text, true), ''::text))::uuid;

ALTER FUNCTION gw.me() OWNER TO gramwell_owner;

CREATE FUNCTION gw.missed_checks(grace_days integer) RETURNS integer
    LANGUAGE plpgsql SECURITY DEFINER
    SET search_path TO 'gw', 'pg_temp'
    AS $$
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

ALTER FUNCTION gw.missed_checks(grace_days integer) OWNER TO gramwell_network;

CREATE FUNCTION gw.must_claim(written bigint) RETURNS void
    LANGUAGE plpgsql IMMUTABLE
    AS $$
begin
  if written = 0 then
    raise exception 'the animal was changed meanwhile' using errcode = 'GW412';
  end if;
end
$$;

ALTER FUNCTION gw.must_claim(written bigint) OWNER TO gramwell_owner;

CREATE FUNCTION gw.new_tag() RETURNS text
    LANGUAGE plpgsql SECURITY DEFINER
    SET search_path TO 'gw', 'pg_temp'
    AS $$
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

ALTER FUNCTION gw.new_tag() OWNER TO gramwell_network;

CREATE FUNCTION gw.person_invite(name text, email text, role text, token bytea, days integer) RETURNS uuid
    LANGUAGE plpgsql SECURITY DEFINER
    SET search_path TO 'gw', 'pg_temp'
    AS $$
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

ALTER FUNCTION gw.person_invite(name text, email text, role text, token bytea, days integer) OWNER TO gramwell_signin;

CREATE FUNCTION gw.person_invited(person uuid) RETURNS boolean
    LANGUAGE sql STABLE SECURITY DEFINER
    SET search_path TO 'gw', 'pg_temp'
    BEGIN ATOMIC
 SELECT (a.passphrase_hash IS NULL)
    FROM gw.account a
   WHERE (a.person = person_invited.person);
END;

ALTER FUNCTION gw.person_invited(person uuid) OWNER TO gramwell_signin;

COMMENT ON FUNCTION gw.person_invited(person uuid) IS 'True while the invitation has not been used.';

CREATE FUNCTION gw.zone_known(zone text) RETURNS boolean
    LANGUAGE plpgsql IMMUTABLE
    AS $$
begin
  perform timestamptz '2000-01-01 00:00Z' at time zone zone;
  return true;
exception when invalid_parameter_value then
  return false;
end
$$;

ALTER FUNCTION gw.zone_known(zone text) OWNER TO gramwell_owner;

CREATE TABLE gw.home (
    id uuid NOT NULL,
    name text NOT NULL,
    kind text NOT NULL,
    zone text NOT NULL,
    note text,
    created_at timestamp with time zone DEFAULT now() NOT NULL,
    CONSTRAINT home_kind_known CHECK ((kind = ANY (ARRAY['foster'::text, 'room'::text, 'quarantine'::text, 'boarding'::text, 'clinic'::text]))),
    CONSTRAINT home_name_check CHECK (((length(name) >= 1) AND (length(name) <= 120))),
    CONSTRAINT home_note_check CHECK ((length(note) <= 2000)),
    CONSTRAINT home_zone_known CHECK (gw.zone_known(zone))
);

ALTER TABLE ONLY gw.home FORCE ROW LEVEL SECURITY;

ALTER TABLE gw.home OWNER TO gramwell_owner;

COMMENT ON COLUMN gw.home.zone IS 'Time zone by its IANA name; the day of a check is the home''s day.';

CREATE TABLE gw.home_week (
    home uuid NOT NULL,
    week date NOT NULL,
    looked integer[] NOT NULL,
    found integer[] NOT NULL,
    marked integer[] NOT NULL
);

ALTER TABLE ONLY gw.home_week FORCE ROW LEVEL SECURITY;

ALTER TABLE gw.home_week OWNER TO gramwell_owner;

COMMENT ON TABLE gw.home_week IS 'Answers counted by the home in which they were given and week (its Monday); positions as gw.region.position. Kept in the transaction of the check.';

CREATE FUNCTION gw.rest_rates(home uuid, first_week date) RETURNS TABLE(region_position integer, looked bigint, found bigint)
    LANGUAGE sql STABLE SECURITY DEFINER
    SET search_path TO 'gw', 'pg_temp'
    BEGIN ATOMIC
 WITH drawn AS (
          SELECT h.id
            FROM gw.home h
           WHERE (h.id <> rest_rates.home)
           ORDER BY (uuid_hash(h.id)), h.id
          LIMIT 300
         )
  SELECT (t."position")::integer AS "position",
     sum(t.looked) AS sum,
     sum(t.found) AS sum
    FROM gw.home_week w,
     LATERAL UNNEST(w.looked, w.found) WITH ORDINALITY t(looked, found, "position")
   WHERE ((w.home = ANY (ARRAY( SELECT drawn.id
            FROM drawn))) AND (w.week >= rest_rates.first_week))
   GROUP BY t."position";
END;

ALTER FUNCTION gw.rest_rates(home uuid, first_week date) OWNER TO gramwell_network;

CREATE FUNCTION gw.role_rank(role text) RETURNS integer
    LANGUAGE sql IMMUTABLE
    RETURN CASE role WHEN 'volunteer'::text THEN 1 WHEN 'intake'::text THEN 2 WHEN 'coordinator'::text THEN 3 ELSE 0 END;

ALTER FUNCTION gw.role_rank(role text) OWNER TO gramwell_owner;

CREATE TABLE gw.session (
    token_hash bytea NOT NULL,
    person uuid NOT NULL,
    bearer boolean DEFAULT false NOT NULL,
    created_at timestamp with time zone DEFAULT now() NOT NULL,
    expires_at timestamp with time zone NOT NULL,
    CONSTRAINT session_token_hash_check CHECK ((length(token_hash) = 32))
);

ALTER TABLE ONLY gw.session FORCE ROW LEVEL SECURITY;

ALTER TABLE gw.session OWNER TO gramwell_owner;

COMMENT ON TABLE gw.session IS 'A token opens a session; only its hash is kept.';

CREATE FUNCTION gw.session_close(token bytea) RETURNS void
    LANGUAGE sql SECURITY DEFINER
    SET search_path TO 'gw', 'pg_temp'
    BEGIN ATOMIC
 DELETE FROM gw.session
   WHERE (session.token_hash = session_close.token);
END;

ALTER FUNCTION gw.session_close(token bytea) OWNER TO gramwell_signin;

CREATE FUNCTION gw.session_enter(token bytea, need text) RETURNS TABLE(person uuid, role text, expires_at timestamp with time zone)
    LANGUAGE plpgsql SECURITY DEFINER
    SET search_path TO 'gw', 'pg_temp'
    AS $$
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

ALTER FUNCTION gw.session_enter(token bytea, need text) OWNER TO gramwell_signin;

CREATE FUNCTION gw.session_open(token bytea, who text, person uuid, seconds integer, bearer boolean) RETURNS timestamp with time zone
    LANGUAGE plpgsql SECURITY DEFINER
    SET search_path TO 'gw', 'pg_temp'
    AS $$
declare
  ends timestamptz := now() + make_interval(secs => seconds);
begin
  delete from gw.session s where s.expires_at < now();
  delete from gw.signin_attempt f where f.who = session_open.who;
  insert into gw.session (token_hash, person, bearer, expires_at) values (token, person, bearer, ends);
  return ends;
end
$$;

ALTER FUNCTION gw.session_open(token bytea, who text, person uuid, seconds integer, bearer boolean) OWNER TO gramwell_signin;

CREATE FUNCTION gw.signin_failed(who text, address text) RETURNS void
    LANGUAGE plpgsql SECURITY DEFINER
    SET search_path TO 'gw', 'pg_temp'
    AS $$
begin
  delete from gw.signin_attempt where failed_at < now() - interval '1 hour';
  insert into gw.signin_attempt (who, address) values (who, address);
end
$$;

ALTER FUNCTION gw.signin_failed(who text, address text) OWNER TO gramwell_signin;

CREATE FUNCTION gw.signin_lookup(email text, who text, address text) RETURNS TABLE(person uuid, name text, role text, passphrase_hash text, wait_seconds integer)
    LANGUAGE plpgsql SECURITY DEFINER
    SET search_path TO 'gw', 'pg_temp'
    AS $$
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

ALTER FUNCTION gw.signin_lookup(email text, who text, address text) OWNER TO gramwell_signin;

CREATE TABLE gw."check" (
    id uuid NOT NULL,
    animal uuid NOT NULL,
    home uuid,
    made_in uuid NOT NULL,
    person uuid,
    kind text NOT NULL,
    at timestamp with time zone NOT NULL,
    day date NOT NULL,
    minutes integer,
    answers jsonb DEFAULT '{}'::jsonb NOT NULL,
    note text,
    scale uuid,
    step numeric(5,1),
    readings numeric(7,1)[],
    grams numeric(7,1),
    zeroed boolean,
    confirmed boolean DEFAULT false NOT NULL,
    mouth_looked integer DEFAULT 0 NOT NULL,
    mouth_seen integer DEFAULT 0 NOT NULL,
    sign_level gw.level DEFAULT 'steady'::gw.level NOT NULL,
    request_hash bytea NOT NULL,
    received_at timestamp with time zone DEFAULT now() NOT NULL,
    CONSTRAINT check_grams_range CHECK (((grams >= 0.1) AND (grams <= (30000)::numeric))),
    CONSTRAINT check_kind_known CHECK ((kind = ANY (ARRAY['baseline'::text, 'weekly'::text, 'extra'::text, 'weigh_only'::text]))),
    CONSTRAINT check_minutes_check CHECK (((minutes >= 0) AND (minutes <= 600))),
    CONSTRAINT check_not_future CHECK ((at <= (received_at + '00:05:00'::interval))),
    CONSTRAINT check_note_check CHECK ((length(note) <= 2000)),
    CONSTRAINT check_readings_number CHECK (((readings IS NULL) OR ((array_length(readings, 1) >= 1) AND (array_length(readings, 1) <= 5)))),
    CONSTRAINT check_weigh_only_has_weight CHECK (((kind <> 'weigh_only'::text) OR (grams IS NOT NULL))),
    CONSTRAINT check_weighing_whole CHECK ((((grams IS NULL) = (readings IS NULL)) AND ((grams IS NULL) = (scale IS NULL))))
);

ALTER TABLE ONLY gw."check" FORCE ROW LEVEL SECURITY;

ALTER TABLE gw."check" OWNER TO gramwell_owner;

COMMENT ON TABLE gw."check" IS 'Never updated: what a person recorded stays. home alone follows the animal, for the row policies.';

COMMENT ON COLUMN gw."check".home IS 'The animal''s present home; made_in is the home where the check was made.';

COMMENT ON COLUMN gw."check".answers IS 'Region -> as_usual, not_looked_at or findings: all regions in one value.';

COMMENT ON COLUMN gw."check".grams IS 'Median of the readings: the accepted weight, bowl zeroed off.';

COMMENT ON COLUMN gw."check".mouth_seen IS 'Bits of the sign groups teeth 1, chin 2, food 4 seen and not a known normal; for the engine.';

COMMENT ON COLUMN gw."check".request_hash IS 'Hash of the meaning of the request: the same check again is known by it.';

CREATE TABLE gw.finding (
    "check" uuid NOT NULL,
    sign text NOT NULL,
    animal uuid NOT NULL,
    home uuid,
    made_in uuid NOT NULL,
    at timestamp with time zone NOT NULL,
    region text NOT NULL,
    sign_group text,
    grade text NOT NULL,
    side text,
    note text,
    usual boolean DEFAULT false NOT NULL,
    CONSTRAINT finding_grade_known CHECK ((grade = ANY (ARRAY['slight'::text, 'marked'::text]))),
    CONSTRAINT finding_note_check CHECK ((length(note) <= 500)),
    CONSTRAINT finding_side_known CHECK ((side = ANY (ARRAY['left'::text, 'right'::text, 'both'::text])))
);

ALTER TABLE ONLY gw.finding FORCE ROW LEVEL SECURITY;

ALTER TABLE gw.finding OWNER TO gramwell_owner;

COMMENT ON COLUMN gw.finding.usual IS 'Covered by a known normal when the check was made.';

CREATE FUNCTION gw.spread_counts(home uuid, but_for uuid, sign_group text, since timestamp with time zone, until timestamp with time zone) RETURNS TABLE(home_with integer, home_animals integer, rest_with integer, rest_animals integer, looks integer)
    LANGUAGE sql STABLE SECURITY DEFINER
    SET search_path TO 'gw', 'pg_temp'
    BEGIN ATOMIC
 WITH seen AS (
          SELECT (f.made_in = spread_counts.home) AS here,
             count(DISTINCT f.animal) AS n
            FROM gw.finding f
           WHERE ((f.sign_group = spread_counts.sign_group) AND (f.at >= spread_counts.since) AND (f.at <= spread_counts.until) AND (NOT f.usual) AND (f.animal <> spread_counts.but_for))
           GROUP BY (f.made_in = spread_counts.home)
         ), checked AS (
          SELECT (c.made_in = spread_counts.home) AS here,
             count(DISTINCT c.animal) AS n
            FROM gw."check" c
           WHERE ((c.at >= spread_counts.since) AND (c.at <= spread_counts.until) AND (c.kind <> 'weigh_only'::text) AND (c.animal <> spread_counts.but_for))
           GROUP BY (c.made_in = spread_counts.home)
         )
  SELECT (COALESCE(( SELECT seen.n
            FROM seen
           WHERE seen.here), (0)::bigint))::integer AS "coalesce",
     (COALESCE(( SELECT checked.n
            FROM checked
           WHERE checked.here), (0)::bigint))::integer AS "coalesce",
     (COALESCE(( SELECT seen.n
            FROM seen
           WHERE (NOT seen.here)), (0)::bigint))::integer AS "coalesce",
     (COALESCE(( SELECT checked.n
            FROM checked
           WHERE (NOT checked.here)), (0)::bigint))::integer AS "coalesce",
     (GREATEST((1)::bigint, ( SELECT count(*) AS count
            FROM gw.home)))::integer AS "greatest";
END;

ALTER FUNCTION gw.spread_counts(home uuid, but_for uuid, sign_group text, since timestamp with time zone, until timestamp with time zone) OWNER TO gramwell_network;

CREATE FUNCTION gw.tag_text(n integer) RETURNS text
    LANGUAGE sql IMMUTABLE
    RETURN ((SELECT string_agg(substr('0123456789ABCDEFGHJKMNPQRSTVWXYZ'::text, (((tag_text.n >> (5 * i.i)) & 31) + 1), 1), ''::text ORDER BY i.i DESC) AS string_agg FROM generate_series(0, 3) i(i)) || substr('0123456789ABCDEFGHJKMNPQRSTVWXYZ*~$=U'::text, ((n % 37) + 1), 1));

ALTER FUNCTION gw.tag_text(n integer) OWNER TO gramwell_owner;

CREATE TABLE gw.alert (
    id uuid DEFAULT gen_random_uuid() NOT NULL,
    kind text NOT NULL,
    level gw.level NOT NULL,
    was_level gw.level,
    state text DEFAULT 'waiting'::text NOT NULL,
    animal uuid,
    home uuid NOT NULL,
    scale uuid,
    sign_group text,
    subject uuid GENERATED ALWAYS AS (COALESCE(scale, animal, home)) STORED NOT NULL,
    topic text GENERATED ALWAYS AS ((kind || COALESCE((':'::text || sign_group), ''::text))) STORED NOT NULL,
    opened_at timestamp with time zone NOT NULL,
    raised_at timestamp with time zone NOT NULL,
    recorded_at timestamp with time zone DEFAULT now() NOT NULL,
    evidence_at timestamp with time zone NOT NULL,
    reasons text[] DEFAULT '{}'::text[] NOT NULL,
    signs text[] DEFAULT '{}'::text[] NOT NULL,
    facts json DEFAULT '{}'::json NOT NULL,
    taken_by uuid,
    due_at timestamp with time zone,
    outcome text,
    settled_at timestamp with time zone,
    version integer DEFAULT 1 NOT NULL,
    CONSTRAINT alert_about_one_thing CHECK (
CASE kind
    WHEN 'scale'::text THEN (scale IS NOT NULL)
    WHEN 'spread'::text THEN ((animal IS NULL) AND (sign_group IS NOT NULL))
    ELSE (animal IS NOT NULL)
END),
    CONSTRAINT alert_kind_known CHECK ((kind = ANY (ARRAY['loss'::text, 'stall'::text, 'gain'::text, 'dental'::text, 'finding'::text, 'spread'::text, 'scale'::text, 'missed'::text]))),
    CONSTRAINT alert_outcome_known CHECK ((outcome = ANY (ARRAY['ill'::text, 'injured'::text, 'benign'::text, 'known_normal'::text, 'measuring_error'::text, 'pregnant'::text, 'died'::text, 'other'::text]))),
    CONSTRAINT alert_settled_has_time CHECK (((state = 'settled'::text) = (settled_at IS NOT NULL))),
    CONSTRAINT alert_state_known CHECK ((state = ANY (ARRAY['waiting'::text, 'in_hand'::text, 'settled'::text])))
);

ALTER TABLE ONLY gw.alert FORCE ROW LEVEL SECURITY;

ALTER TABLE gw.alert OWNER TO gramwell_owner;

COMMENT ON COLUMN gw.alert.opened_at IS 'When the first evidence was seen; recorded_at is when the server heard of it.';

COMMENT ON COLUMN gw.alert.raised_at IS 'When it last rose to its present level: waiting is counted from here.';

COMMENT ON COLUMN gw.alert.facts IS 'The numbers behind the newest evidence, as the engine gave them.';

CREATE TABLE gw.alert_evidence (
    alert uuid NOT NULL,
    "check" uuid NOT NULL,
    home uuid NOT NULL,
    at timestamp with time zone NOT NULL,
    level gw.level NOT NULL,
    kind text NOT NULL,
    reasons text[] DEFAULT '{}'::text[] NOT NULL,
    signs text[] DEFAULT '{}'::text[] NOT NULL,
    recorded_at timestamp with time zone DEFAULT now() NOT NULL
);

ALTER TABLE ONLY gw.alert_evidence FORCE ROW LEVEL SECURITY;

ALTER TABLE gw.alert_evidence OWNER TO gramwell_owner;

CREATE TABLE gw.animal (
    id uuid NOT NULL,
    tag text DEFAULT gw.new_tag() NOT NULL,
    name text NOT NULL,
    species text NOT NULL,
    sex text NOT NULL,
    neutered boolean,
    birth date,
    birth_precision text,
    stage text DEFAULT 'unknown'::text NOT NULL,
    adult_grams numeric(7,1),
    coat text,
    markings text,
    chip text,
    status text DEFAULT 'here'::text NOT NULL,
    home uuid,
    pen uuid,
    arrived date,
    check_every_days integer DEFAULT 7 NOT NULL,
    sensitivity numeric(3,2) DEFAULT 0 NOT NULL,
    note text,
    created_at timestamp with time zone DEFAULT now() NOT NULL,
    CONSTRAINT animal_adult_grams_check CHECK (((adult_grams >= (1)::numeric) AND (adult_grams <= (15000)::numeric))),
    CONSTRAINT animal_birth_precision_known CHECK ((birth_precision = ANY (ARRAY['day'::text, 'month'::text, 'year'::text, 'guess'::text]))),
    CONSTRAINT animal_birth_told_how CHECK (((birth IS NULL) OR (birth_precision IS NOT NULL))),
    CONSTRAINT animal_check_every_days_check CHECK (((check_every_days >= 1) AND (check_every_days <= 90))),
    CONSTRAINT animal_chip_form CHECK (((chip ~ '^([0-9]{15}|[0-9A-F]{9,10})$'::text) AND ((length(chip) <> 15) OR (("right"(chip, 12))::bigint <= '274877906943'::bigint)))),
    CONSTRAINT animal_coat_check CHECK ((length(coat) <= 80)),
    CONSTRAINT animal_here_has_home CHECK (((status <> 'here'::text) OR (home IS NOT NULL))),
    CONSTRAINT animal_markings_check CHECK ((length(markings) <= 200)),
    CONSTRAINT animal_name_check CHECK (((length(name) >= 1) AND (length(name) <= 80))),
    CONSTRAINT animal_note_check CHECK ((length(note) <= 2000)),
    CONSTRAINT animal_sensitivity_check CHECK (((sensitivity >= '-1.5'::numeric) AND (sensitivity <= 1.5))),
    CONSTRAINT animal_sex_known CHECK ((sex = ANY (ARRAY['female'::text, 'male'::text, 'unknown'::text]))),
    CONSTRAINT animal_stage_known CHECK ((stage = ANY (ARRAY['young'::text, 'adult'::text, 'senior'::text, 'unknown'::text]))),
    CONSTRAINT animal_status_known CHECK ((status = ANY (ARRAY['here'::text, 'gone'::text])))
);

ALTER TABLE ONLY gw.animal FORCE ROW LEVEL SECURITY;

ALTER TABLE gw.animal OWNER TO gramwell_owner;

COMMENT ON COLUMN gw.animal.tag IS 'Four characters of Crockford base32 and a check character (value modulo 37).';

COMMENT ON COLUMN gw.animal.chip IS 'ISO 11784 as 15 digits (identity at most 274877906943), or 9 or 10 characters: a chip outside that standard.';

COMMENT ON COLUMN gw.animal.home IS 'Present home, the same as the open stay; kept here for the row policies.';

CREATE TABLE gw.animal_state (
    animal uuid NOT NULL,
    home uuid,
    version bigint DEFAULT 0 NOT NULL,
    checked_at timestamp with time zone,
    checked_on date,
    weighed_at timestamp with time zone,
    grams numeric(7,1),
    level gw.level DEFAULT 'steady'::gw.level NOT NULL,
    kind text DEFAULT 'none'::text NOT NULL,
    due_on date
);

ALTER TABLE ONLY gw.animal_state FORCE ROW LEVEL SECURITY;

ALTER TABLE gw.animal_state OWNER TO gramwell_owner;

COMMENT ON COLUMN gw.animal_state.home IS 'Present home, as in gw.animal.';

COMMENT ON COLUMN gw.animal_state.version IS 'Grows with every change that a verdict depends on: a check is written only on the version it was judged by.';

CREATE TABLE gw.arrival (
    id uuid NOT NULL,
    animal uuid NOT NULL,
    kind text NOT NULL,
    at timestamp with time zone NOT NULL,
    from_whom text,
    note text,
    person uuid,
    request_hash bytea NOT NULL,
    recorded_at timestamp with time zone DEFAULT now() NOT NULL,
    CONSTRAINT arrival_from_whom_check CHECK ((length(from_whom) <= 200)),
    CONSTRAINT arrival_kind_known CHECK ((kind = ANY (ARRAY['surrender'::text, 'stray'::text, 'seizure'::text, 'transfer'::text, 'born_here'::text, 'boarding'::text]))),
    CONSTRAINT arrival_not_future CHECK ((at <= (recorded_at + '00:05:00'::interval))),
    CONSTRAINT arrival_note_check CHECK ((length(note) <= 2000))
);

ALTER TABLE ONLY gw.arrival FORCE ROW LEVEL SECURITY;

ALTER TABLE gw.arrival OWNER TO gramwell_owner;

CREATE TABLE gw.audit (
    id bigint NOT NULL,
    at timestamp with time zone DEFAULT now() NOT NULL,
    person uuid,
    what text NOT NULL,
    subject uuid,
    detail jsonb DEFAULT '{}'::jsonb NOT NULL,
    CONSTRAINT audit_what_check CHECK ((length(what) <= 60))
);

ALTER TABLE ONLY gw.audit FORCE ROW LEVEL SECURITY;

ALTER TABLE gw.audit OWNER TO gramwell_owner;

COMMENT ON TABLE gw.audit IS 'Changes of rights, settings and corrections. The service may add and read, never change.';

ALTER TABLE gw.audit ALTER COLUMN id ADD GENERATED ALWAYS AS IDENTITY (
    SEQUENCE NAME gw.audit_id_seq
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1
);

CREATE TABLE gw.event (
    id uuid NOT NULL,
    animal uuid NOT NULL,
    home uuid,
    event text NOT NULL,
    during daterange NOT NULL,
    note text,
    person uuid,
    recorded_at timestamp with time zone DEFAULT now() NOT NULL,
    CONSTRAINT event_kind_known CHECK ((event = ANY (ARRAY['pregnant'::text, 'gave_birth'::text, 'surgery'::text, 'diet_change'::text, 'journey'::text, 'bonding'::text]))),
    CONSTRAINT event_not_empty CHECK (((NOT isempty(during)) AND isfinite(lower(during)) AND COALESCE(isfinite(upper(during)), true))),
    CONSTRAINT event_note_check CHECK ((length(note) <= 500))
);

ALTER TABLE ONLY gw.event FORCE ROW LEVEL SECURITY;

ALTER TABLE gw.event OWNER TO gramwell_owner;

COMMENT ON TABLE gw.event IS 'A period that changes what weight means.';

CREATE TABLE gw.known_normal (
    id uuid NOT NULL,
    animal uuid NOT NULL,
    home uuid,
    sign text NOT NULL,
    up_to text NOT NULL,
    said_by text,
    vet_confirmed boolean DEFAULT false NOT NULL,
    person uuid,
    recorded_at timestamp with time zone DEFAULT now() NOT NULL,
    ended_at timestamp with time zone,
    CONSTRAINT known_normal_grade_known CHECK ((up_to = ANY (ARRAY['slight'::text, 'marked'::text]))),
    CONSTRAINT known_normal_said_by_check CHECK ((length(said_by) <= 120))
);

ALTER TABLE ONLY gw.known_normal FORCE ROW LEVEL SECURITY;

ALTER TABLE gw.known_normal OWNER TO gramwell_owner;

COMMENT ON TABLE gw.known_normal IS 'A sign that is usual for this animal up to a grade.';

CREATE TABLE gw.level_rule (
    level gw.level NOT NULL,
    answer_hours integer,
    source text NOT NULL
);

ALTER TABLE gw.level_rule OWNER TO gramwell_owner;

COMMENT ON COLUMN gw.level_rule.answer_hours IS 'An alert of this level that nobody took by then has waited too long.';

CREATE TABLE gw.migration (
    number integer NOT NULL,
    name text NOT NULL,
    sha256 text NOT NULL,
    applied_at timestamp with time zone DEFAULT now() NOT NULL
);

ALTER TABLE gw.migration OWNER TO gramwell_owner;

COMMENT ON TABLE gw.migration IS 'What gramwelld migrate has applied.';

CREATE TABLE gw.network (
    singleton boolean DEFAULT true NOT NULL,
    name text NOT NULL,
    zone text DEFAULT 'Europe/London'::text NOT NULL,
    phones jsonb DEFAULT '[]'::jsonb NOT NULL,
    sensitivity numeric(3,2) DEFAULT 0 NOT NULL,
    CONSTRAINT network_name_check CHECK (((length(name) >= 1) AND (length(name) <= 120))),
    CONSTRAINT network_sensitivity_check CHECK (((sensitivity >= '-1.5'::numeric) AND (sensitivity <= 1.5))),
    CONSTRAINT network_singleton_check CHECK (singleton)
);

ALTER TABLE ONLY gw.network FORCE ROW LEVEL SECURITY;

ALTER TABLE gw.network OWNER TO gramwell_owner;

COMMENT ON TABLE gw.network IS 'One row: settings of the whole network.';

COMMENT ON COLUMN gw.network.phones IS 'Whom to call: [{"name", "number", "when"}] in the order in which to try.';

CREATE TABLE gw.pen (
    id uuid NOT NULL,
    home uuid NOT NULL,
    name text NOT NULL,
    CONSTRAINT pen_name_check CHECK (((length(name) >= 1) AND (length(name) <= 60)))
);

ALTER TABLE ONLY gw.pen FORCE ROW LEVEL SECURITY;

ALTER TABLE gw.pen OWNER TO gramwell_owner;

COMMENT ON TABLE gw.pen IS 'An enclosure: animals in one pen touch each other.';

CREATE TABLE gw.region (
    code text NOT NULL,
    "position" integer NOT NULL,
    name text NOT NULL
);

ALTER TABLE gw.region OWNER TO gramwell_owner;

COMMENT ON TABLE gw.region IS 'Parts of the body in the order of the hands. The weight comes after the last.';

CREATE TABLE gw.scale (
    id uuid NOT NULL,
    home uuid NOT NULL,
    name text NOT NULL,
    step numeric(5,1) NOT NULL,
    capacity numeric(8,1) NOT NULL,
    retired_at timestamp with time zone,
    created_at timestamp with time zone DEFAULT now() NOT NULL,
    CONSTRAINT scale_capacity_range CHECK (((capacity >= (10)::numeric) AND (capacity <= (100000)::numeric))),
    CONSTRAINT scale_name_check CHECK (((length(name) >= 1) AND (length(name) <= 80))),
    CONSTRAINT scale_step_range CHECK (((step >= 0.1) AND (step <= (100)::numeric)))
);

ALTER TABLE ONLY gw.scale FORCE ROW LEVEL SECURITY;

ALTER TABLE gw.scale OWNER TO gramwell_owner;

COMMENT ON COLUMN gw.scale.step IS 'Grams between two readings the display can show.';

CREATE TABLE gw.scale_test (
    id uuid NOT NULL,
    scale uuid NOT NULL,
    home uuid NOT NULL,
    at timestamp with time zone NOT NULL,
    mass numeric(7,1) NOT NULL,
    reading numeric(7,1) NOT NULL,
    allowed numeric(6,2) NOT NULL,
    passed boolean NOT NULL,
    person uuid,
    request_hash bytea NOT NULL,
    recorded_at timestamp with time zone DEFAULT now() NOT NULL,
    CONSTRAINT scale_test_allowed_check CHECK ((allowed > (0)::numeric)),
    CONSTRAINT scale_test_mass_range CHECK (((mass >= (1)::numeric) AND (mass <= (30000)::numeric))),
    CONSTRAINT scale_test_not_future CHECK ((at <= (recorded_at + '00:05:00'::interval))),
    CONSTRAINT scale_test_reading_range CHECK (((reading >= (0)::numeric) AND (reading <= (30000)::numeric)))
);

ALTER TABLE ONLY gw.scale_test FORCE ROW LEVEL SECURITY;

ALTER TABLE gw.scale_test OWNER TO gramwell_owner;

COMMENT ON COLUMN gw.scale_test.mass IS 'Grams: the known mass that was put on the scale.';

COMMENT ON COLUMN gw.scale_test.allowed IS 'Grams: the largest error for this step and load (OIML R 76, in service).';

CREATE TABLE gw.serves (
    person uuid NOT NULL,
    home uuid NOT NULL,
    during tstzrange NOT NULL,
    cover boolean DEFAULT false NOT NULL,
    CONSTRAINT serves_not_empty CHECK (((NOT isempty(during)) AND isfinite(lower(during)) AND COALESCE(isfinite(upper(during)), true)))
);

ALTER TABLE ONLY gw.serves FORCE ROW LEVEL SECURITY;

ALTER TABLE gw.serves OWNER TO gramwell_owner;

COMMENT ON TABLE gw.serves IS 'Who looks after a home, and since when. It decides what a volunteer can see and write.';

CREATE TABLE gw.sign (
    code text NOT NULL,
    "position" integer NOT NULL,
    region text NOT NULL,
    species text[],
    level gw.level NOT NULL,
    words text NOT NULL,
    hint text,
    sign_group text,
    vet_only_normal boolean NOT NULL,
    usual boolean DEFAULT false NOT NULL,
    source text NOT NULL,
    source_read text NOT NULL,
    level_source text NOT NULL
);

ALTER TABLE gw.sign OWNER TO gramwell_owner;

COMMENT ON COLUMN gw.sign.species IS 'Species it is offered for; null: all.';

COMMENT ON COLUMN gw.sign.vet_only_normal IS 'As a known normal it goes on raising alerts until a vet has confirmed it.';

COMMENT ON COLUMN gw.sign.usual IS 'Harmless in itself: recorded so that it is not taken for something else.';

COMMENT ON COLUMN gw.sign.level_source IS 'Where the level comes from; most levels are common practice and want a vet''s eye before use.';

CREATE TABLE gw.sign_group (
    code text NOT NULL,
    name text NOT NULL,
    window_days integer,
    to_people boolean DEFAULT false NOT NULL,
    caution text,
    source text NOT NULL
);

ALTER TABLE gw.sign_group OWNER TO gramwell_owner;

COMMENT ON COLUMN gw.sign_group.window_days IS 'Days to look back for the same group in the home; null: not passed on.';

CREATE TABLE gw.signin_attempt (
    who text NOT NULL,
    address text NOT NULL,
    failed_at timestamp with time zone DEFAULT now() NOT NULL
);

ALTER TABLE ONLY gw.signin_attempt FORCE ROW LEVEL SECURITY;

ALTER TABLE gw.signin_attempt OWNER TO gramwell_owner;

COMMENT ON TABLE gw.signin_attempt IS 'Failed sign-ins of the last hour, for growing delays. who is a hash of the e-mail address as typed.';

CREATE TABLE gw.source (
    key text NOT NULL,
    citation text NOT NULL,
    read text NOT NULL
);

ALTER TABLE gw.source OWNER TO gramwell_owner;

COMMENT ON COLUMN gw.source.read IS 'How much of the source was seen when the facts were taken from it.';

CREATE TABLE gw.species (
    code text NOT NULL,
    "position" integer NOT NULL,
    name text NOT NULL,
    adult_low integer NOT NULL,
    adult_high integer NOT NULL,
    entry_low numeric(6,1) NOT NULL,
    entry_high numeric(6,1) NOT NULL,
    step numeric(3,1) NOT NULL,
    check_days integer DEFAULT 7 NOT NULL,
    female text NOT NULL,
    male text NOT NULL,
    young text NOT NULL,
    source text NOT NULL,
    note text
);

ALTER TABLE gw.species OWNER TO gramwell_owner;

COMMENT ON COLUMN gw.species.adult_low IS 'Grams: range of adult weight in the sources.';

COMMENT ON COLUMN gw.species.entry_low IS 'Grams: under this, or over entry_high, a reading is refused as impossible.';

COMMENT ON COLUMN gw.species.step IS 'Grams: the coarsest step that a scale for this species may have.';

CREATE TABLE gw.stay (
    id uuid DEFAULT gen_random_uuid() NOT NULL,
    animal uuid NOT NULL,
    home uuid NOT NULL,
    pen uuid,
    during tstzrange NOT NULL,
    CONSTRAINT stay_not_empty CHECK (((NOT isempty(during)) AND isfinite(lower(during)) AND COALESCE(isfinite(upper(during)), true)))
);

ALTER TABLE ONLY gw.stay FORCE ROW LEVEL SECURITY;

ALTER TABLE gw.stay OWNER TO gramwell_owner;

CREATE TABLE gw.step (
    id uuid NOT NULL,
    alert uuid NOT NULL,
    home uuid NOT NULL,
    step text NOT NULL,
    outcome text,
    note text,
    due_at timestamp with time zone,
    at timestamp with time zone NOT NULL,
    recorded_at timestamp with time zone DEFAULT now() NOT NULL,
    person uuid,
    CONSTRAINT step_known CHECK ((step = ANY (ARRAY['taken'::text, 'reweigh_asked'::text, 'vet_booked'::text, 'vet_seen'::text, 'watching'::text, 'settled'::text, 'reopened'::text, 'note'::text]))),
    CONSTRAINT step_not_future CHECK ((at <= (recorded_at + '00:05:00'::interval))),
    CONSTRAINT step_note_check CHECK ((length(note) <= 2000)),
    CONSTRAINT step_note_has_text CHECK (((step <> 'note'::text) OR (length(note) > 0))),
    CONSTRAINT step_outcome_known CHECK ((outcome = ANY (ARRAY['ill'::text, 'injured'::text, 'benign'::text, 'known_normal'::text, 'measuring_error'::text, 'pregnant'::text, 'died'::text, 'other'::text]))),
    CONSTRAINT step_settled_has_outcome CHECK (((step = 'settled'::text) = (outcome IS NOT NULL)))
);

ALTER TABLE ONLY gw.step FORCE ROW LEVEL SECURITY;

ALTER TABLE gw.step OWNER TO gramwell_owner;

CREATE TABLE gw.verdict (
    "check" uuid NOT NULL,
    animal uuid NOT NULL,
    home uuid,
    at timestamp with time zone NOT NULL,
    level gw.level NOT NULL,
    kind text NOT NULL,
    quality text NOT NULL,
    by_session boolean DEFAULT false NOT NULL,
    body json NOT NULL,
    alone json NOT NULL,
    computed_at timestamp with time zone DEFAULT now() NOT NULL,
    CONSTRAINT verdict_quality_known CHECK ((quality = ANY (ARRAY['plain'::text, 'reweigh'::text, 'set_aside'::text])))
);

ALTER TABLE ONLY gw.verdict FORCE ROW LEVEL SECURITY;

ALTER TABLE gw.verdict OWNER TO gramwell_owner;

COMMENT ON TABLE gw.verdict IS 'What the engine says of the weighing of a check. Worked out again when a late check or an event changes the past.';

COMMENT ON COLUMN gw.verdict.by_session IS 'Set aside by what its session said (bowl not at zero), not by the animal''s own past.';

COMMENT ON COLUMN gw.verdict.body IS 'The verdict as the API gives it.';

COMMENT ON COLUMN gw.verdict.alone IS 'The animal''s own verdict in full precision, before the session had its say.';

ALTER TABLE ONLY gw.account
    ADD CONSTRAINT account_pkey PRIMARY KEY (person);

ALTER TABLE ONLY gw.alert_evidence
    ADD CONSTRAINT alert_evidence_pkey PRIMARY KEY (alert, "check");

ALTER TABLE ONLY gw.alert
    ADD CONSTRAINT alert_pkey PRIMARY KEY (id);

ALTER TABLE ONLY gw.animal
    ADD CONSTRAINT animal_pkey PRIMARY KEY (id);

ALTER TABLE ONLY gw.animal_state
    ADD CONSTRAINT animal_state_pkey PRIMARY KEY (animal);

ALTER TABLE ONLY gw.arrival
    ADD CONSTRAINT arrival_pkey PRIMARY KEY (id);

ALTER TABLE ONLY gw.audit
    ADD CONSTRAINT audit_pkey PRIMARY KEY (id);

ALTER TABLE ONLY gw."check"
    ADD CONSTRAINT check_pkey PRIMARY KEY (id);

ALTER TABLE ONLY gw.event
    ADD CONSTRAINT event_pkey PRIMARY KEY (id);

ALTER TABLE ONLY gw.finding
    ADD CONSTRAINT finding_pkey PRIMARY KEY ("check", sign);

ALTER TABLE ONLY gw.home
    ADD CONSTRAINT home_pkey PRIMARY KEY (id);

ALTER TABLE ONLY gw.home_week
    ADD CONSTRAINT home_week_pkey PRIMARY KEY (home, week);

ALTER TABLE ONLY gw.invitation
    ADD CONSTRAINT invitation_pkey PRIMARY KEY (token_hash);

ALTER TABLE ONLY gw.known_normal
    ADD CONSTRAINT known_normal_pkey PRIMARY KEY (id);

ALTER TABLE ONLY gw.level_rule
    ADD CONSTRAINT level_rule_pkey PRIMARY KEY (level);

ALTER TABLE ONLY gw.migration
    ADD CONSTRAINT migration_pkey PRIMARY KEY (number);

ALTER TABLE ONLY gw.network
    ADD CONSTRAINT network_pkey PRIMARY KEY (singleton);

ALTER TABLE ONLY gw.pen
    ADD CONSTRAINT pen_pkey PRIMARY KEY (id);

ALTER TABLE ONLY gw.person
    ADD CONSTRAINT person_pkey PRIMARY KEY (id);

ALTER TABLE ONLY gw.region
    ADD CONSTRAINT region_pkey PRIMARY KEY (code);

ALTER TABLE ONLY gw.region
    ADD CONSTRAINT region_position_key UNIQUE ("position");

ALTER TABLE ONLY gw.scale
    ADD CONSTRAINT scale_pkey PRIMARY KEY (id);

ALTER TABLE ONLY gw.scale_test
    ADD CONSTRAINT scale_test_pkey PRIMARY KEY (id);

ALTER TABLE ONLY gw.serves
    ADD CONSTRAINT serves_no_overlap EXCLUDE USING gist (person WITH =, home WITH =, during WITH &&);

ALTER TABLE ONLY gw.session
    ADD CONSTRAINT session_pkey PRIMARY KEY (token_hash);

ALTER TABLE ONLY gw.sign_group
    ADD CONSTRAINT sign_group_pkey PRIMARY KEY (code);

ALTER TABLE ONLY gw.sign
    ADD CONSTRAINT sign_pkey PRIMARY KEY (code);

ALTER TABLE ONLY gw.sign
    ADD CONSTRAINT sign_position_key UNIQUE ("position");

ALTER TABLE ONLY gw.source
    ADD CONSTRAINT source_pkey PRIMARY KEY (key);

ALTER TABLE ONLY gw.species
    ADD CONSTRAINT species_pkey PRIMARY KEY (code);

ALTER TABLE ONLY gw.species
    ADD CONSTRAINT species_position_key UNIQUE ("position");

ALTER TABLE ONLY gw.stay
    ADD CONSTRAINT stay_no_overlap EXCLUDE USING gist (animal WITH =, during WITH &&);

ALTER TABLE ONLY gw.stay
    ADD CONSTRAINT stay_pkey PRIMARY KEY (id);

ALTER TABLE ONLY gw.step
    ADD CONSTRAINT step_pkey PRIMARY KEY (id);

ALTER TABLE ONLY gw.verdict
    ADD CONSTRAINT verdict_pkey PRIMARY KEY ("check");

CREATE UNIQUE INDEX account_email_once ON gw.account USING btree (lower(email));

CREATE INDEX alert_home ON gw.alert USING btree (home) WHERE (state <> 'settled'::text);

CREATE UNIQUE INDEX alert_one_open ON gw.alert USING btree (subject, topic) WHERE (state <> 'settled'::text);

CREATE INDEX alert_open ON gw.alert USING btree (level DESC, opened_at) WHERE (state <> 'settled'::text);

CREATE INDEX alert_settled ON gw.alert USING btree (settled_at DESC) WHERE (state = 'settled'::text);

CREATE INDEX alert_subject ON gw.alert USING btree (subject, topic, settled_at DESC);

CREATE UNIQUE INDEX animal_chip_once ON gw.animal USING btree (chip);

CREATE INDEX animal_home ON gw.animal USING btree (home, status) INCLUDE (id);

CREATE INDEX animal_name ON gw.animal USING btree (name, id);

CREATE INDEX animal_state_due ON gw.animal_state USING btree (due_on);

CREATE INDEX animal_state_home ON gw.animal_state USING btree (home, due_on);

CREATE UNIQUE INDEX animal_tag_once ON gw.animal USING btree (tag);

CREATE INDEX arrival_animal ON gw.arrival USING btree (animal);

CREATE INDEX check_animal ON gw."check" USING btree (animal, at DESC) INCLUDE (grams, home);

CREATE INDEX check_made_in ON gw."check" USING btree (made_in, at);

CREATE INDEX check_recent ON gw."check" USING brin (at);

CREATE INDEX check_session ON gw."check" USING btree (scale, at) WHERE (scale IS NOT NULL);

CREATE INDEX event_animal ON gw.event USING btree (animal);

CREATE INDEX finding_group ON gw.finding USING btree (sign_group, at) INCLUDE (made_in, animal, usual) WHERE (sign_group IS NOT NULL);

CREATE INDEX finding_made_in ON gw.finding USING btree (made_in, at);

CREATE UNIQUE INDEX home_name_once ON gw.home USING btree (lower(name));

CREATE INDEX home_week_week ON gw.home_week USING btree (week);

CREATE INDEX invitation_person ON gw.invitation USING btree (person);

CREATE UNIQUE INDEX known_normal_once ON gw.known_normal USING btree (animal, sign) WHERE (ended_at IS NULL);

CREATE UNIQUE INDEX pen_name_once ON gw.pen USING btree (home, lower(name));

CREATE UNIQUE INDEX scale_name_once ON gw.scale USING btree (home, lower(name));

CREATE INDEX scale_test_newest ON gw.scale_test USING btree (scale, at DESC);

CREATE INDEX serves_home ON gw.serves USING btree (home);

CREATE INDEX session_person ON gw.session USING btree (person);

CREATE INDEX signin_attempt_address ON gw.signin_attempt USING btree (address, failed_at);

CREATE INDEX signin_attempt_who ON gw.signin_attempt USING btree (who, failed_at);

CREATE INDEX stay_home ON gw.stay USING btree (home);

CREATE INDEX step_alert ON gw.step USING btree (alert, at);

CREATE INDEX verdict_animal ON gw.verdict USING btree (animal, at DESC);

ALTER TABLE ONLY gw.account
    ADD CONSTRAINT account_person_fkey FOREIGN KEY (person) REFERENCES gw.person(id) ON DELETE CASCADE;

ALTER TABLE ONLY gw.alert
    ADD CONSTRAINT alert_animal_fkey FOREIGN KEY (animal) REFERENCES gw.animal(id) ON DELETE CASCADE;

ALTER TABLE ONLY gw.alert_evidence
    ADD CONSTRAINT alert_evidence_alert_fkey FOREIGN KEY (alert) REFERENCES gw.alert(id) ON DELETE CASCADE;

ALTER TABLE ONLY gw.alert_evidence
    ADD CONSTRAINT alert_evidence_check_fkey FOREIGN KEY ("check") REFERENCES gw."check"(id) ON DELETE CASCADE;

ALTER TABLE ONLY gw.alert
    ADD CONSTRAINT alert_home_fkey FOREIGN KEY (home) REFERENCES gw.home(id) ON DELETE CASCADE;

ALTER TABLE ONLY gw.alert
    ADD CONSTRAINT alert_scale_fkey FOREIGN KEY (scale) REFERENCES gw.scale(id) ON DELETE CASCADE;

ALTER TABLE ONLY gw.alert
    ADD CONSTRAINT alert_sign_group_fkey FOREIGN KEY (sign_group) REFERENCES gw.sign_group(code) ON DELETE RESTRICT;

ALTER TABLE ONLY gw.alert
    ADD CONSTRAINT alert_taken_by_fkey FOREIGN KEY (taken_by) REFERENCES gw.person(id) ON DELETE SET NULL;

ALTER TABLE ONLY gw.animal
    ADD CONSTRAINT animal_home_fkey FOREIGN KEY (home) REFERENCES gw.home(id) ON DELETE RESTRICT;

ALTER TABLE ONLY gw.animal
    ADD CONSTRAINT animal_pen_fkey FOREIGN KEY (pen) REFERENCES gw.pen(id) ON DELETE SET NULL;

ALTER TABLE ONLY gw.animal
    ADD CONSTRAINT animal_species_fkey FOREIGN KEY (species) REFERENCES gw.species(code) ON DELETE RESTRICT;

ALTER TABLE ONLY gw.animal_state
    ADD CONSTRAINT animal_state_animal_fkey FOREIGN KEY (animal) REFERENCES gw.animal(id) ON DELETE CASCADE;

ALTER TABLE ONLY gw.animal_state
    ADD CONSTRAINT animal_state_home_fkey FOREIGN KEY (home) REFERENCES gw.home(id) ON DELETE RESTRICT;

ALTER TABLE ONLY gw.arrival
    ADD CONSTRAINT arrival_animal_fkey FOREIGN KEY (animal) REFERENCES gw.animal(id) ON DELETE CASCADE;

ALTER TABLE ONLY gw.arrival
    ADD CONSTRAINT arrival_person_fkey FOREIGN KEY (person) REFERENCES gw.person(id) ON DELETE SET NULL;

ALTER TABLE ONLY gw."check"
    ADD CONSTRAINT check_animal_fkey FOREIGN KEY (animal) REFERENCES gw.animal(id) ON DELETE CASCADE;

ALTER TABLE ONLY gw."check"
    ADD CONSTRAINT check_made_in_fkey FOREIGN KEY (made_in) REFERENCES gw.home(id) ON DELETE RESTRICT;

ALTER TABLE ONLY gw."check"
    ADD CONSTRAINT check_person_fkey FOREIGN KEY (person) REFERENCES gw.person(id) ON DELETE SET NULL;

ALTER TABLE ONLY gw."check"
    ADD CONSTRAINT check_scale_fkey FOREIGN KEY (scale) REFERENCES gw.scale(id) ON DELETE RESTRICT;

ALTER TABLE ONLY gw.event
    ADD CONSTRAINT event_animal_fkey FOREIGN KEY (animal) REFERENCES gw.animal(id) ON DELETE CASCADE;

ALTER TABLE ONLY gw.event
    ADD CONSTRAINT event_person_fkey FOREIGN KEY (person) REFERENCES gw.person(id) ON DELETE SET NULL;

ALTER TABLE ONLY gw.finding
    ADD CONSTRAINT finding_check_fkey FOREIGN KEY ("check") REFERENCES gw."check"(id) ON DELETE CASCADE;

ALTER TABLE ONLY gw.finding
    ADD CONSTRAINT finding_sign_fkey FOREIGN KEY (sign) REFERENCES gw.sign(code) ON DELETE RESTRICT;

ALTER TABLE ONLY gw.home_week
    ADD CONSTRAINT home_week_home_fkey FOREIGN KEY (home) REFERENCES gw.home(id) ON DELETE CASCADE;

ALTER TABLE ONLY gw.invitation
    ADD CONSTRAINT invitation_made_by_fkey FOREIGN KEY (made_by) REFERENCES gw.person(id) ON DELETE SET NULL;

ALTER TABLE ONLY gw.invitation
    ADD CONSTRAINT invitation_person_fkey FOREIGN KEY (person) REFERENCES gw.person(id) ON DELETE CASCADE;

ALTER TABLE ONLY gw.known_normal
    ADD CONSTRAINT known_normal_animal_fkey FOREIGN KEY (animal) REFERENCES gw.animal(id) ON DELETE CASCADE;

ALTER TABLE ONLY gw.known_normal
    ADD CONSTRAINT known_normal_person_fkey FOREIGN KEY (person) REFERENCES gw.person(id) ON DELETE SET NULL;

ALTER TABLE ONLY gw.known_normal
    ADD CONSTRAINT known_normal_sign_fkey FOREIGN KEY (sign) REFERENCES gw.sign(code) ON DELETE RESTRICT;

ALTER TABLE ONLY gw.pen
    ADD CONSTRAINT pen_home_fkey FOREIGN KEY (home) REFERENCES gw.home(id) ON DELETE CASCADE;

ALTER TABLE ONLY gw.scale
    ADD CONSTRAINT scale_home_fkey FOREIGN KEY (home) REFERENCES gw.home(id) ON DELETE RESTRICT;

ALTER TABLE ONLY gw.scale_test
    ADD CONSTRAINT scale_test_home_fkey FOREIGN KEY (home) REFERENCES gw.home(id) ON DELETE RESTRICT;

ALTER TABLE ONLY gw.scale_test
    ADD CONSTRAINT scale_test_person_fkey FOREIGN KEY (person) REFERENCES gw.person(id) ON DELETE SET NULL;

ALTER TABLE ONLY gw.scale_test
    ADD CONSTRAINT scale_test_scale_fkey FOREIGN KEY (scale) REFERENCES gw.scale(id) ON DELETE CASCADE;

ALTER TABLE ONLY gw.serves
    ADD CONSTRAINT serves_home_fkey FOREIGN KEY (home) REFERENCES gw.home(id) ON DELETE CASCADE;

ALTER TABLE ONLY gw.serves
    ADD CONSTRAINT serves_person_fkey FOREIGN KEY (person) REFERENCES gw.person(id) ON DELETE CASCADE;

ALTER TABLE ONLY gw.session
    ADD CONSTRAINT session_person_fkey FOREIGN KEY (person) REFERENCES gw.person(id) ON DELETE CASCADE;

ALTER TABLE ONLY gw.sign
    ADD CONSTRAINT sign_region_fkey FOREIGN KEY (region) REFERENCES gw.region(code) ON DELETE RESTRICT;

ALTER TABLE ONLY gw.sign
    ADD CONSTRAINT sign_sign_group_fkey FOREIGN KEY (sign_group) REFERENCES gw.sign_group(code) ON DELETE RESTRICT;

ALTER TABLE ONLY gw.stay
    ADD CONSTRAINT stay_animal_fkey FOREIGN KEY (animal) REFERENCES gw.animal(id) ON DELETE CASCADE;

ALTER TABLE ONLY gw.stay
    ADD CONSTRAINT stay_home_fkey FOREIGN KEY (home) REFERENCES gw.home(id) ON DELETE RESTRICT;

ALTER TABLE ONLY gw.stay
    ADD CONSTRAINT stay_pen_fkey FOREIGN KEY (pen) REFERENCES gw.pen(id) ON DELETE SET NULL;

ALTER TABLE ONLY gw.step
    ADD CONSTRAINT step_alert_fkey FOREIGN KEY (alert) REFERENCES gw.alert(id) ON DELETE CASCADE;

ALTER TABLE ONLY gw.step
    ADD CONSTRAINT step_person_fkey FOREIGN KEY (person) REFERENCES gw.person(id) ON DELETE SET NULL;

ALTER TABLE ONLY gw.verdict
    ADD CONSTRAINT verdict_check_fkey FOREIGN KEY ("check") REFERENCES gw."check"(id) ON DELETE CASCADE;

ALTER TABLE gw.account ENABLE ROW LEVEL SECURITY;

CREATE POLICY account_read ON gw.account FOR SELECT TO gramwell_app USING ((( SELECT gw.coordinator() AS coordinator) OR (person = ( SELECT gw.me() AS me))));

CREATE POLICY account_signin ON gw.account TO gramwell_signin USING (true) WITH CHECK (true);

ALTER TABLE gw.alert ENABLE ROW LEVEL SECURITY;

CREATE POLICY alert_add ON gw.alert FOR INSERT TO gramwell_app WITH CHECK (((state <> 'settled'::text) AND (( SELECT gw.desk() AS desk) OR (home = ANY (ARRAY( SELECT s.home
   FROM gw.serves s
  WHERE ((s.person = ( SELECT gw.me() AS me)) AND (s.during @> now()))))))));

CREATE POLICY alert_change ON gw.alert FOR UPDATE TO gramwell_app USING ((( SELECT gw.desk() AS desk) OR (home = ANY (ARRAY( SELECT s.home
   FROM gw.serves s
  WHERE ((s.person = ( SELECT gw.me() AS me)) AND (s.during @> now()))))))) WITH CHECK ((( SELECT gw.coordinator() AS coordinator) OR (state = 'waiting'::text) OR (kind = 'scale'::text) OR (kind = 'missed'::text) OR ((state = 'in_hand'::text) AND (taken_by IS DISTINCT FROM ( SELECT gw.me() AS me)))));

CREATE POLICY alert_count ON gw.alert TO gramwell_network USING (true) WITH CHECK ((kind = 'missed'::text));

ALTER TABLE gw.alert_evidence ENABLE ROW LEVEL SECURITY;

CREATE POLICY alert_evidence_add ON gw.alert_evidence FOR INSERT TO gramwell_app WITH CHECK ((( SELECT gw.desk() AS desk) OR (home = ANY (ARRAY( SELECT s.home
   FROM gw.serves s
  WHERE ((s.person = ( SELECT gw.me() AS me)) AND (s.during @> now())))))));

CREATE POLICY alert_evidence_change ON gw.alert_evidence FOR UPDATE TO gramwell_app USING ((( SELECT gw.desk() AS desk) OR (home = ANY (ARRAY( SELECT s.home
   FROM gw.serves s
  WHERE ((s.person = ( SELECT gw.me() AS me)) AND (s.during @> now())))))));

CREATE POLICY alert_evidence_read ON gw.alert_evidence FOR SELECT TO gramwell_app USING ((( SELECT gw.desk() AS desk) OR (home = ANY (ARRAY( SELECT s.home
   FROM gw.serves s
  WHERE ((s.person = ( SELECT gw.me() AS me)) AND (s.during @> now())))))));

CREATE POLICY alert_evidence_report ON gw.alert_evidence FOR SELECT TO gramwell_read USING (true);

CREATE POLICY alert_evidence_withdraw ON gw.alert_evidence FOR DELETE TO gramwell_app USING ((( SELECT gw.desk() AS desk) OR (home = ANY (ARRAY( SELECT s.home
   FROM gw.serves s
  WHERE ((s.person = ( SELECT gw.me() AS me)) AND (s.during @> now())))))));

CREATE POLICY alert_read ON gw.alert FOR SELECT TO gramwell_app USING ((( SELECT gw.desk() AS desk) OR (home = ANY (ARRAY( SELECT s.home
   FROM gw.serves s
  WHERE ((s.person = ( SELECT gw.me() AS me)) AND (s.during @> now())))))));

CREATE POLICY alert_report ON gw.alert FOR SELECT TO gramwell_read USING (true);

CREATE POLICY alert_withdraw ON gw.alert FOR DELETE TO gramwell_app USING (((state = 'waiting'::text) AND (taken_by IS NULL) AND (( SELECT gw.desk() AS desk) OR (home = ANY (ARRAY( SELECT s.home
   FROM gw.serves s
  WHERE ((s.person = ( SELECT gw.me() AS me)) AND (s.during @> now()))))))));

ALTER TABLE gw.animal ENABLE ROW LEVEL SECURITY;

CREATE POLICY animal_add ON gw.animal FOR INSERT TO gramwell_app WITH CHECK (( SELECT gw.desk() AS desk));

CREATE POLICY animal_change ON gw.animal FOR UPDATE TO gramwell_app USING (( SELECT gw.desk() AS desk));

CREATE POLICY animal_count ON gw.animal FOR SELECT TO gramwell_network USING (true);

CREATE POLICY animal_read ON gw.animal FOR SELECT TO gramwell_app USING ((( SELECT gw.desk() AS desk) OR (home = ANY (ARRAY( SELECT s.home
   FROM gw.serves s
  WHERE ((s.person = ( SELECT gw.me() AS me)) AND (s.during @> now())))))));

CREATE POLICY animal_report ON gw.animal FOR SELECT TO gramwell_read USING (true);

ALTER TABLE gw.animal_state ENABLE ROW LEVEL SECURITY;

CREATE POLICY animal_state_add ON gw.animal_state FOR INSERT TO gramwell_app WITH CHECK (( SELECT gw.desk() AS desk));

CREATE POLICY animal_state_change ON gw.animal_state FOR UPDATE TO gramwell_app USING ((( SELECT gw.desk() AS desk) OR (home = ANY (ARRAY( SELECT s.home
   FROM gw.serves s
  WHERE ((s.person = ( SELECT gw.me() AS me)) AND (s.during @> now())))))));

CREATE POLICY animal_state_count ON gw.animal_state FOR SELECT TO gramwell_network USING (true);

CREATE POLICY animal_state_read ON gw.animal_state FOR SELECT TO gramwell_app USING ((( SELECT gw.desk() AS desk) OR (home = ANY (ARRAY( SELECT s.home
   FROM gw.serves s
  WHERE ((s.person = ( SELECT gw.me() AS me)) AND (s.during @> now())))))));

CREATE POLICY animal_state_report ON gw.animal_state FOR SELECT TO gramwell_read USING (true);

ALTER TABLE gw.arrival ENABLE ROW LEVEL SECURITY;

CREATE POLICY arrival_add ON gw.arrival FOR INSERT TO gramwell_app WITH CHECK ((( SELECT gw.desk() AS desk) AND (person = ( SELECT gw.me() AS me))));

CREATE POLICY arrival_read ON gw.arrival FOR SELECT TO gramwell_app USING (( SELECT gw.desk() AS desk));

CREATE POLICY arrival_report ON gw.arrival FOR SELECT TO gramwell_read USING (true);

ALTER TABLE gw.audit ENABLE ROW LEVEL SECURITY;

CREATE POLICY audit_add ON gw.audit FOR INSERT TO gramwell_app WITH CHECK ((person = ( SELECT gw.me() AS me)));

CREATE POLICY audit_read ON gw.audit FOR SELECT TO gramwell_app USING (( SELECT gw.coordinator() AS coordinator));

CREATE POLICY audit_report ON gw.audit FOR SELECT TO gramwell_read USING (true);

CREATE POLICY audit_signin ON gw.audit FOR INSERT TO gramwell_signin WITH CHECK (true);

ALTER TABLE gw."check" ENABLE ROW LEVEL SECURITY;

CREATE POLICY check_add ON gw."check" FOR INSERT TO gramwell_app WITH CHECK (((person = ( SELECT gw.me() AS me)) AND (( SELECT gw.desk() AS desk) OR (home = ANY (ARRAY( SELECT s.home
   FROM gw.serves s
  WHERE ((s.person = ( SELECT gw.me() AS me)) AND (s.during @> now()))))))));

CREATE POLICY check_count ON gw."check" FOR SELECT TO gramwell_network USING (true);

CREATE POLICY check_follow ON gw."check" FOR UPDATE TO gramwell_app USING (( SELECT gw.desk() AS desk));

CREATE POLICY check_read ON gw."check" FOR SELECT TO gramwell_app USING ((( SELECT gw.desk() AS desk) OR (home = ANY (ARRAY( SELECT s.home
   FROM gw.serves s
  WHERE ((s.person = ( SELECT gw.me() AS me)) AND (s.during @> now())))))));

CREATE POLICY check_report ON gw."check" FOR SELECT TO gramwell_read USING (true);

ALTER TABLE gw.event ENABLE ROW LEVEL SECURITY;

CREATE POLICY event_add ON gw.event FOR INSERT TO gramwell_app WITH CHECK (((person = ( SELECT gw.me() AS me)) AND (( SELECT gw.desk() AS desk) OR (home = ANY (ARRAY( SELECT s.home
   FROM gw.serves s
  WHERE ((s.person = ( SELECT gw.me() AS me)) AND (s.during @> now()))))))));

CREATE POLICY event_change ON gw.event FOR UPDATE TO gramwell_app USING (( SELECT gw.desk() AS desk));

CREATE POLICY event_read ON gw.event FOR SELECT TO gramwell_app USING ((( SELECT gw.desk() AS desk) OR (home = ANY (ARRAY( SELECT s.home
   FROM gw.serves s
  WHERE ((s.person = ( SELECT gw.me() AS me)) AND (s.during @> now())))))));

CREATE POLICY event_report ON gw.event FOR SELECT TO gramwell_read USING (true);

ALTER TABLE gw.finding ENABLE ROW LEVEL SECURITY;

CREATE POLICY finding_add ON gw.finding FOR INSERT TO gramwell_app WITH CHECK ((( SELECT gw.desk() AS desk) OR (home = ANY (ARRAY( SELECT s.home
   FROM gw.serves s
  WHERE ((s.person = ( SELECT gw.me() AS me)) AND (s.during @> now())))))));

CREATE POLICY finding_count ON gw.finding FOR SELECT TO gramwell_network USING (true);

CREATE POLICY finding_follow ON gw.finding FOR UPDATE TO gramwell_app USING (( SELECT gw.desk() AS desk));

CREATE POLICY finding_read ON gw.finding FOR SELECT TO gramwell_app USING ((( SELECT gw.desk() AS desk) OR (home = ANY (ARRAY( SELECT s.home
   FROM gw.serves s
  WHERE ((s.person = ( SELECT gw.me() AS me)) AND (s.during @> now())))))));

CREATE POLICY finding_report ON gw.finding FOR SELECT TO gramwell_read USING (true);

ALTER TABLE gw.home ENABLE ROW LEVEL SECURITY;

CREATE POLICY home_add ON gw.home FOR INSERT TO gramwell_app WITH CHECK (( SELECT gw.coordinator() AS coordinator));

CREATE POLICY home_change ON gw.home FOR UPDATE TO gramwell_app USING (( SELECT gw.coordinator() AS coordinator));

CREATE POLICY home_count ON gw.home FOR SELECT TO gramwell_network USING (true);

CREATE POLICY home_read ON gw.home FOR SELECT TO gramwell_app USING ((( SELECT gw.desk() AS desk) OR (id = ANY (ARRAY( SELECT s.home
   FROM gw.serves s
  WHERE ((s.person = ( SELECT gw.me() AS me)) AND (s.during @> now())))))));

CREATE POLICY home_report ON gw.home FOR SELECT TO gramwell_read USING (true);

ALTER TABLE gw.home_week ENABLE ROW LEVEL SECURITY;

CREATE POLICY home_week_add ON gw.home_week FOR INSERT TO gramwell_app WITH CHECK ((( SELECT gw.desk() AS desk) OR (home = ANY (ARRAY( SELECT s.home
   FROM gw.serves s
  WHERE ((s.person = ( SELECT gw.me() AS me)) AND (s.during @> now())))))));

CREATE POLICY home_week_change ON gw.home_week FOR UPDATE TO gramwell_app USING ((( SELECT gw.desk() AS desk) OR (home = ANY (ARRAY( SELECT s.home
   FROM gw.serves s
  WHERE ((s.person = ( SELECT gw.me() AS me)) AND (s.during @> now())))))));

CREATE POLICY home_week_count ON gw.home_week FOR SELECT TO gramwell_network USING (true);

CREATE POLICY home_week_read ON gw.home_week FOR SELECT TO gramwell_app USING ((( SELECT gw.desk() AS desk) OR (home = ANY (ARRAY( SELECT s.home
   FROM gw.serves s
  WHERE ((s.person = ( SELECT gw.me() AS me)) AND (s.during @> now())))))));

CREATE POLICY home_week_report ON gw.home_week FOR SELECT TO gramwell_read USING (true);

ALTER TABLE gw.invitation ENABLE ROW LEVEL SECURITY;

CREATE POLICY invitation_signin ON gw.invitation TO gramwell_signin USING (true) WITH CHECK (true);

ALTER TABLE gw.known_normal ENABLE ROW LEVEL SECURITY;

CREATE POLICY known_normal_add ON gw.known_normal FOR INSERT TO gramwell_app WITH CHECK (((person = ( SELECT gw.me() AS me)) AND (( SELECT gw.coordinator() AS coordinator) OR (NOT vet_confirmed)) AND (( SELECT gw.desk() AS desk) OR (home = ANY (ARRAY( SELECT s.home
   FROM gw.serves s
  WHERE ((s.person = ( SELECT gw.me() AS me)) AND (s.during @> now()))))))));

CREATE POLICY known_normal_change ON gw.known_normal FOR UPDATE TO gramwell_app USING (( SELECT gw.desk() AS desk));

CREATE POLICY known_normal_read ON gw.known_normal FOR SELECT TO gramwell_app USING ((( SELECT gw.desk() AS desk) OR (home = ANY (ARRAY( SELECT s.home
   FROM gw.serves s
  WHERE ((s.person = ( SELECT gw.me() AS me)) AND (s.during @> now())))))));

CREATE POLICY known_normal_report ON gw.known_normal FOR SELECT TO gramwell_read USING (true);

ALTER TABLE gw.network ENABLE ROW LEVEL SECURITY;

CREATE POLICY network_count ON gw.network FOR SELECT TO gramwell_network USING (true);

CREATE POLICY network_read ON gw.network FOR SELECT TO gramwell_app USING ((( SELECT gw.me() AS me) IS NOT NULL));

CREATE POLICY network_report ON gw.network FOR SELECT TO gramwell_read USING (true);

CREATE POLICY network_write ON gw.network FOR UPDATE TO gramwell_app USING (( SELECT gw.coordinator() AS coordinator));

ALTER TABLE gw.pen ENABLE ROW LEVEL SECURITY;

CREATE POLICY pen_add ON gw.pen FOR INSERT TO gramwell_app WITH CHECK (( SELECT gw.desk() AS desk));

CREATE POLICY pen_change ON gw.pen FOR UPDATE TO gramwell_app USING (( SELECT gw.desk() AS desk));

CREATE POLICY pen_read ON gw.pen FOR SELECT TO gramwell_app USING ((( SELECT gw.desk() AS desk) OR (home = ANY (ARRAY( SELECT s.home
   FROM gw.serves s
  WHERE ((s.person = ( SELECT gw.me() AS me)) AND (s.during @> now())))))));

CREATE POLICY pen_report ON gw.pen FOR SELECT TO gramwell_read USING (true);

ALTER TABLE gw.person ENABLE ROW LEVEL SECURITY;

CREATE POLICY person_read ON gw.person FOR SELECT TO gramwell_app USING ((( SELECT gw.me() AS me) IS NOT NULL));

CREATE POLICY person_report ON gw.person FOR SELECT TO gramwell_read USING (true);

CREATE POLICY person_signin ON gw.person TO gramwell_signin USING (true) WITH CHECK (true);

ALTER TABLE gw.scale ENABLE ROW LEVEL SECURITY;

CREATE POLICY scale_add ON gw.scale FOR INSERT TO gramwell_app WITH CHECK (( SELECT gw.desk() AS desk));

CREATE POLICY scale_change ON gw.scale FOR UPDATE TO gramwell_app USING (( SELECT gw.desk() AS desk));

CREATE POLICY scale_read ON gw.scale FOR SELECT TO gramwell_app USING ((( SELECT gw.desk() AS desk) OR (home = ANY (ARRAY( SELECT s.home
   FROM gw.serves s
  WHERE ((s.person = ( SELECT gw.me() AS me)) AND (s.during @> now())))))));

CREATE POLICY scale_report ON gw.scale FOR SELECT TO gramwell_read USING (true);

ALTER TABLE gw.scale_test ENABLE ROW LEVEL SECURITY;

CREATE POLICY scale_test_add ON gw.scale_test FOR INSERT TO gramwell_app WITH CHECK (((person = ( SELECT gw.me() AS me)) AND (( SELECT gw.desk() AS desk) OR (home = ANY (ARRAY( SELECT s.home
   FROM gw.serves s
  WHERE ((s.person = ( SELECT gw.me() AS me)) AND (s.during @> now()))))))));

CREATE POLICY scale_test_read ON gw.scale_test FOR SELECT TO gramwell_app USING ((( SELECT gw.desk() AS desk) OR (home = ANY (ARRAY( SELECT s.home
   FROM gw.serves s
  WHERE ((s.person = ( SELECT gw.me() AS me)) AND (s.during @> now())))))));

CREATE POLICY scale_test_report ON gw.scale_test FOR SELECT TO gramwell_read USING (true);

ALTER TABLE gw.serves ENABLE ROW LEVEL SECURITY;

CREATE POLICY serves_change ON gw.serves FOR UPDATE TO gramwell_app USING (( SELECT gw.coordinator() AS coordinator));

CREATE POLICY serves_read ON gw.serves FOR SELECT TO gramwell_app USING (((person = ( SELECT gw.me() AS me)) OR ( SELECT gw.desk() AS desk)));

CREATE POLICY serves_report ON gw.serves FOR SELECT TO gramwell_read USING (true);

CREATE POLICY serves_write ON gw.serves FOR INSERT TO gramwell_app WITH CHECK (( SELECT gw.coordinator() AS coordinator));

ALTER TABLE gw.session ENABLE ROW LEVEL SECURITY;

CREATE POLICY session_signin ON gw.session TO gramwell_signin USING (true) WITH CHECK (true);

ALTER TABLE gw.signin_attempt ENABLE ROW LEVEL SECURITY;

CREATE POLICY signin_attempt_signin ON gw.signin_attempt TO gramwell_signin USING (true) WITH CHECK (true);

ALTER TABLE gw.stay ENABLE ROW LEVEL SECURITY;

CREATE POLICY stay_add ON gw.stay FOR INSERT TO gramwell_app WITH CHECK (( SELECT gw.desk() AS desk));

CREATE POLICY stay_change ON gw.stay FOR UPDATE TO gramwell_app USING (( SELECT gw.desk() AS desk));

CREATE POLICY stay_read ON gw.stay FOR SELECT TO gramwell_app USING ((( SELECT gw.desk() AS desk) OR (home = ANY (ARRAY( SELECT s.home
   FROM gw.serves s
  WHERE ((s.person = ( SELECT gw.me() AS me)) AND (s.during @> now())))))));

CREATE POLICY stay_report ON gw.stay FOR SELECT TO gramwell_read USING (true);

ALTER TABLE gw.step ENABLE ROW LEVEL SECURITY;

CREATE POLICY step_add ON gw.step FOR INSERT TO gramwell_app WITH CHECK ((( SELECT gw.coordinator() AS coordinator) AND (person = ( SELECT gw.me() AS me))));

CREATE POLICY step_read ON gw.step FOR SELECT TO gramwell_app USING ((( SELECT gw.desk() AS desk) OR (home = ANY (ARRAY( SELECT s.home
   FROM gw.serves s
  WHERE ((s.person = ( SELECT gw.me() AS me)) AND (s.during @> now())))))));

CREATE POLICY step_report ON gw.step FOR SELECT TO gramwell_read USING (true);

ALTER TABLE gw.verdict ENABLE ROW LEVEL SECURITY;

CREATE POLICY verdict_add ON gw.verdict FOR INSERT TO gramwell_app WITH CHECK ((( SELECT gw.desk() AS desk) OR (home = ANY (ARRAY( SELECT s.home
   FROM gw.serves s
  WHERE ((s.person = ( SELECT gw.me() AS me)) AND (s.during @> now())))))));

CREATE POLICY verdict_change ON gw.verdict FOR UPDATE TO gramwell_app USING ((( SELECT gw.desk() AS desk) OR (home = ANY (ARRAY( SELECT s.home
   FROM gw.serves s
  WHERE ((s.person = ( SELECT gw.me() AS me)) AND (s.during @> now())))))));

CREATE POLICY verdict_read ON gw.verdict FOR SELECT TO gramwell_app USING ((( SELECT gw.desk() AS desk) OR (home = ANY (ARRAY( SELECT s.home
   FROM gw.serves s
  WHERE ((s.person = ( SELECT gw.me() AS me)) AND (s.during @> now())))))));

CREATE POLICY verdict_report ON gw.verdict FOR SELECT TO gramwell_read USING (true);

GRANT USAGE ON SCHEMA gw TO gramwell_app;
GRANT USAGE ON SCHEMA gw TO gramwell_read;
GRANT USAGE ON SCHEMA gw TO gramwell_signin;
GRANT USAGE ON SCHEMA gw TO gramwell_network;

GRANT SELECT,INSERT,UPDATE ON TABLE gw.account TO gramwell_signin;

GRANT SELECT(person) ON TABLE gw.account TO gramwell_app;

GRANT SELECT(email) ON TABLE gw.account TO gramwell_app;

GRANT SELECT(phone) ON TABLE gw.account TO gramwell_app;

GRANT SELECT,INSERT,DELETE,UPDATE ON TABLE gw.invitation TO gramwell_signin;

GRANT SELECT ON TABLE gw.person TO gramwell_app;
GRANT SELECT ON TABLE gw.person TO gramwell_read;
GRANT SELECT,INSERT,UPDATE ON TABLE gw.person TO gramwell_signin;

REVOKE ALL ON FUNCTION gw.invitation_look(token bytea) FROM PUBLIC;
GRANT ALL ON FUNCTION gw.invitation_look(token bytea) TO gramwell_app;

REVOKE ALL ON FUNCTION gw.invitation_spend(token bytea, hash text) FROM PUBLIC;
GRANT ALL ON FUNCTION gw.invitation_spend(token bytea, hash text) TO gramwell_app;

REVOKE ALL ON FUNCTION gw.missed_checks(grace_days integer) FROM PUBLIC;
GRANT ALL ON FUNCTION gw.missed_checks(grace_days integer) TO gramwell_app;

REVOKE ALL ON FUNCTION gw.new_tag() FROM PUBLIC;
GRANT ALL ON FUNCTION gw.new_tag() TO gramwell_app;

REVOKE ALL ON FUNCTION gw.person_invite(name text, email text, role text, token bytea, days integer) FROM PUBLIC;
GRANT ALL ON FUNCTION gw.person_invite(name text, email text, role text, token bytea, days integer) TO gramwell_app;
GRANT ALL ON FUNCTION gw.person_invite(name text, email text, role text, token bytea, days integer) TO gramwell_owner;

REVOKE ALL ON FUNCTION gw.person_invited(person uuid) FROM PUBLIC;
GRANT ALL ON FUNCTION gw.person_invited(person uuid) TO gramwell_app;

GRANT SELECT ON TABLE gw.home TO gramwell_app;
GRANT SELECT ON TABLE gw.home TO gramwell_read;
GRANT SELECT ON TABLE gw.home TO gramwell_network;

GRANT INSERT(id) ON TABLE gw.home TO gramwell_app;

GRANT INSERT(name),UPDATE(name) ON TABLE gw.home TO gramwell_app;

GRANT INSERT(kind),UPDATE(kind) ON TABLE gw.home TO gramwell_app;

GRANT INSERT(zone),UPDATE(zone) ON TABLE gw.home TO gramwell_app;

GRANT INSERT(note),UPDATE(note) ON TABLE gw.home TO gramwell_app;

GRANT SELECT,INSERT ON TABLE gw.home_week TO gramwell_app;
GRANT SELECT ON TABLE gw.home_week TO gramwell_read;
GRANT SELECT ON TABLE gw.home_week TO gramwell_network;

GRANT UPDATE(looked) ON TABLE gw.home_week TO gramwell_app;

GRANT UPDATE(found) ON TABLE gw.home_week TO gramwell_app;

GRANT UPDATE(marked) ON TABLE gw.home_week TO gramwell_app;

REVOKE ALL ON FUNCTION gw.rest_rates(home uuid, first_week date) FROM PUBLIC;
GRANT ALL ON FUNCTION gw.rest_rates(home uuid, first_week date) TO gramwell_app;

GRANT SELECT,INSERT,DELETE,UPDATE ON TABLE gw.session TO gramwell_signin;

REVOKE ALL ON FUNCTION gw.session_close(token bytea) FROM PUBLIC;
GRANT ALL ON FUNCTION gw.session_close(token bytea) TO gramwell_app;

REVOKE ALL ON FUNCTION gw.session_enter(token bytea, need text) FROM PUBLIC;
GRANT ALL ON FUNCTION gw.session_enter(token bytea, need text) TO gramwell_app;

REVOKE ALL ON FUNCTION gw.session_open(token bytea, who text, person uuid, seconds integer, bearer boolean) FROM PUBLIC;
GRANT ALL ON FUNCTION gw.session_open(token bytea, who text, person uuid, seconds integer, bearer boolean) TO gramwell_app;

REVOKE ALL ON FUNCTION gw.signin_failed(who text, address text) FROM PUBLIC;
GRANT ALL ON FUNCTION gw.signin_failed(who text, address text) TO gramwell_app;

REVOKE ALL ON FUNCTION gw.signin_lookup(email text, who text, address text) FROM PUBLIC;
GRANT ALL ON FUNCTION gw.signin_lookup(email text, who text, address text) TO gramwell_app;

GRANT SELECT ON TABLE gw."check" TO gramwell_app;
GRANT SELECT ON TABLE gw."check" TO gramwell_read;
GRANT SELECT ON TABLE gw."check" TO gramwell_network;

GRANT INSERT(id) ON TABLE gw."check" TO gramwell_app;

GRANT INSERT(animal) ON TABLE gw."check" TO gramwell_app;

GRANT INSERT(home),UPDATE(home) ON TABLE gw."check" TO gramwell_app;

GRANT INSERT(made_in) ON TABLE gw."check" TO gramwell_app;

GRANT INSERT(person) ON TABLE gw."check" TO gramwell_app;

GRANT INSERT(kind) ON TABLE gw."check" TO gramwell_app;

GRANT INSERT(at) ON TABLE gw."check" TO gramwell_app;

GRANT INSERT(day) ON TABLE gw."check" TO gramwell_app;

GRANT INSERT(minutes) ON TABLE gw."check" TO gramwell_app;

GRANT INSERT(answers) ON TABLE gw."check" TO gramwell_app;

GRANT INSERT(note) ON TABLE gw."check" TO gramwell_app;

GRANT INSERT(scale) ON TABLE gw."check" TO gramwell_app;

GRANT INSERT(step) ON TABLE gw."check" TO gramwell_app;

GRANT INSERT(readings) ON TABLE gw."check" TO gramwell_app;

GRANT INSERT(grams) ON TABLE gw."check" TO gramwell_app;

GRANT INSERT(zeroed) ON TABLE gw."check" TO gramwell_app;

GRANT INSERT(confirmed) ON TABLE gw."check" TO gramwell_app;

GRANT INSERT(mouth_looked) ON TABLE gw."check" TO gramwell_app;

GRANT INSERT(mouth_seen) ON TABLE gw."check" TO gramwell_app;

GRANT INSERT(sign_level) ON TABLE gw."check" TO gramwell_app;

GRANT INSERT(request_hash) ON TABLE gw."check" TO gramwell_app;

GRANT SELECT,INSERT ON TABLE gw.finding TO gramwell_app;
GRANT SELECT ON TABLE gw.finding TO gramwell_read;
GRANT SELECT ON TABLE gw.finding TO gramwell_network;

GRANT UPDATE(home) ON TABLE gw.finding TO gramwell_app;

REVOKE ALL ON FUNCTION gw.spread_counts(home uuid, but_for uuid, sign_group text, since timestamp with time zone, until timestamp with time zone) FROM PUBLIC;
GRANT ALL ON FUNCTION gw.spread_counts(home uuid, but_for uuid, sign_group text, since timestamp with time zone, until timestamp with time zone) TO gramwell_app;

GRANT SELECT,DELETE ON TABLE gw.alert TO gramwell_app;
GRANT SELECT ON TABLE gw.alert TO gramwell_read;
GRANT SELECT,INSERT,UPDATE ON TABLE gw.alert TO gramwell_network;

GRANT INSERT(kind) ON TABLE gw.alert TO gramwell_app;

GRANT INSERT(level),UPDATE(level) ON TABLE gw.alert TO gramwell_app;

GRANT UPDATE(was_level) ON TABLE gw.alert TO gramwell_app;

GRANT UPDATE(state) ON TABLE gw.alert TO gramwell_app;

GRANT INSERT(animal) ON TABLE gw.alert TO gramwell_app;

GRANT INSERT(home),UPDATE(home) ON TABLE gw.alert TO gramwell_app;

GRANT INSERT(scale) ON TABLE gw.alert TO gramwell_app;

GRANT INSERT(sign_group) ON TABLE gw.alert TO gramwell_app;

GRANT INSERT(opened_at),UPDATE(opened_at) ON TABLE gw.alert TO gramwell_app;

GRANT INSERT(raised_at),UPDATE(raised_at) ON TABLE gw.alert TO gramwell_app;

GRANT INSERT(evidence_at),UPDATE(evidence_at) ON TABLE gw.alert TO gramwell_app;

GRANT INSERT(reasons),UPDATE(reasons) ON TABLE gw.alert TO gramwell_app;

GRANT INSERT(signs),UPDATE(signs) ON TABLE gw.alert TO gramwell_app;

GRANT INSERT(facts),UPDATE(facts) ON TABLE gw.alert TO gramwell_app;

GRANT UPDATE(taken_by) ON TABLE gw.alert TO gramwell_app;

GRANT UPDATE(due_at) ON TABLE gw.alert TO gramwell_app;

GRANT UPDATE(outcome) ON TABLE gw.alert TO gramwell_app;

GRANT UPDATE(settled_at) ON TABLE gw.alert TO gramwell_app;

GRANT UPDATE(version) ON TABLE gw.alert TO gramwell_app;

GRANT SELECT,DELETE ON TABLE gw.alert_evidence TO gramwell_app;
GRANT SELECT ON TABLE gw.alert_evidence TO gramwell_read;

GRANT INSERT(alert) ON TABLE gw.alert_evidence TO gramwell_app;

GRANT INSERT("check") ON TABLE gw.alert_evidence TO gramwell_app;

GRANT INSERT(home),UPDATE(home) ON TABLE gw.alert_evidence TO gramwell_app;

GRANT INSERT(at) ON TABLE gw.alert_evidence TO gramwell_app;

GRANT INSERT(level),UPDATE(level) ON TABLE gw.alert_evidence TO gramwell_app;

GRANT INSERT(kind),UPDATE(kind) ON TABLE gw.alert_evidence TO gramwell_app;

GRANT INSERT(reasons),UPDATE(reasons) ON TABLE gw.alert_evidence TO gramwell_app;

GRANT INSERT(signs),UPDATE(signs) ON TABLE gw.alert_evidence TO gramwell_app;

GRANT SELECT ON TABLE gw.animal TO gramwell_app;
GRANT SELECT ON TABLE gw.animal TO gramwell_read;
GRANT SELECT ON TABLE gw.animal TO gramwell_network;

GRANT INSERT(id) ON TABLE gw.animal TO gramwell_app;

GRANT INSERT(name),UPDATE(name) ON TABLE gw.animal TO gramwell_app;

GRANT INSERT(species),UPDATE(species) ON TABLE gw.animal TO gramwell_app;

GRANT INSERT(sex),UPDATE(sex) ON TABLE gw.animal TO gramwell_app;

GRANT INSERT(neutered),UPDATE(neutered) ON TABLE gw.animal TO gramwell_app;

GRANT INSERT(birth),UPDATE(birth) ON TABLE gw.animal TO gramwell_app;

GRANT INSERT(birth_precision),UPDATE(birth_precision) ON TABLE gw.animal TO gramwell_app;

GRANT INSERT(stage),UPDATE(stage) ON TABLE gw.animal TO gramwell_app;

GRANT INSERT(adult_grams),UPDATE(adult_grams) ON TABLE gw.animal TO gramwell_app;

GRANT INSERT(coat),UPDATE(coat) ON TABLE gw.animal TO gramwell_app;

GRANT INSERT(markings),UPDATE(markings) ON TABLE gw.animal TO gramwell_app;

GRANT INSERT(chip),UPDATE(chip) ON TABLE gw.animal TO gramwell_app;

GRANT UPDATE(status) ON TABLE gw.animal TO gramwell_app;

GRANT INSERT(home),UPDATE(home) ON TABLE gw.animal TO gramwell_app;

GRANT INSERT(pen),UPDATE(pen) ON TABLE gw.animal TO gramwell_app;

GRANT INSERT(arrived) ON TABLE gw.animal TO gramwell_app;

GRANT INSERT(check_every_days),UPDATE(check_every_days) ON TABLE gw.animal TO gramwell_app;

GRANT UPDATE(sensitivity) ON TABLE gw.animal TO gramwell_app;

GRANT INSERT(note),UPDATE(note) ON TABLE gw.animal TO gramwell_app;

GRANT SELECT,INSERT ON TABLE gw.animal_state TO gramwell_app;
GRANT SELECT ON TABLE gw.animal_state TO gramwell_read;
GRANT SELECT ON TABLE gw.animal_state TO gramwell_network;

GRANT UPDATE(home) ON TABLE gw.animal_state TO gramwell_app;

GRANT UPDATE(version) ON TABLE gw.animal_state TO gramwell_app;

GRANT UPDATE(checked_at) ON TABLE gw.animal_state TO gramwell_app;

GRANT UPDATE(checked_on) ON TABLE gw.animal_state TO gramwell_app;

GRANT UPDATE(weighed_at) ON TABLE gw.animal_state TO gramwell_app;

GRANT UPDATE(grams) ON TABLE gw.animal_state TO gramwell_app;

GRANT UPDATE(level) ON TABLE gw.animal_state TO gramwell_app;

GRANT UPDATE(kind) ON TABLE gw.animal_state TO gramwell_app;

GRANT UPDATE(due_on) ON TABLE gw.animal_state TO gramwell_app;

GRANT SELECT ON TABLE gw.arrival TO gramwell_app;
GRANT SELECT ON TABLE gw.arrival TO gramwell_read;

GRANT INSERT(id) ON TABLE gw.arrival TO gramwell_app;

GRANT INSERT(animal) ON TABLE gw.arrival TO gramwell_app;

GRANT INSERT(kind) ON TABLE gw.arrival TO gramwell_app;

GRANT INSERT(at) ON TABLE gw.arrival TO gramwell_app;

GRANT INSERT(from_whom) ON TABLE gw.arrival TO gramwell_app;

GRANT INSERT(note) ON TABLE gw.arrival TO gramwell_app;

GRANT INSERT(person) ON TABLE gw.arrival TO gramwell_app;

GRANT INSERT(request_hash) ON TABLE gw.arrival TO gramwell_app;

GRANT SELECT ON TABLE gw.audit TO gramwell_app;
GRANT SELECT ON TABLE gw.audit TO gramwell_read;

GRANT INSERT(person) ON TABLE gw.audit TO gramwell_app;
GRANT INSERT(person) ON TABLE gw.audit TO gramwell_signin;

GRANT INSERT(what) ON TABLE gw.audit TO gramwell_app;
GRANT INSERT(what) ON TABLE gw.audit TO gramwell_signin;

GRANT INSERT(subject) ON TABLE gw.audit TO gramwell_app;
GRANT INSERT(subject) ON TABLE gw.audit TO gramwell_signin;

GRANT INSERT(detail) ON TABLE gw.audit TO gramwell_app;
GRANT INSERT(detail) ON TABLE gw.audit TO gramwell_signin;

GRANT SELECT ON TABLE gw.event TO gramwell_app;
GRANT SELECT ON TABLE gw.event TO gramwell_read;

GRANT INSERT(id) ON TABLE gw.event TO gramwell_app;

GRANT INSERT(animal) ON TABLE gw.event TO gramwell_app;

GRANT INSERT(home),UPDATE(home) ON TABLE gw.event TO gramwell_app;

GRANT INSERT(event) ON TABLE gw.event TO gramwell_app;

GRANT INSERT(during),UPDATE(during) ON TABLE gw.event TO gramwell_app;

GRANT INSERT(note) ON TABLE gw.event TO gramwell_app;

GRANT INSERT(person) ON TABLE gw.event TO gramwell_app;

GRANT SELECT ON TABLE gw.known_normal TO gramwell_app;
GRANT SELECT ON TABLE gw.known_normal TO gramwell_read;

GRANT INSERT(id) ON TABLE gw.known_normal TO gramwell_app;

GRANT INSERT(animal) ON TABLE gw.known_normal TO gramwell_app;

GRANT INSERT(home),UPDATE(home) ON TABLE gw.known_normal TO gramwell_app;

GRANT INSERT(sign) ON TABLE gw.known_normal TO gramwell_app;

GRANT INSERT(up_to) ON TABLE gw.known_normal TO gramwell_app;

GRANT INSERT(said_by) ON TABLE gw.known_normal TO gramwell_app;

GRANT INSERT(vet_confirmed) ON TABLE gw.known_normal TO gramwell_app;

GRANT INSERT(person) ON TABLE gw.known_normal TO gramwell_app;

GRANT UPDATE(ended_at) ON TABLE gw.known_normal TO gramwell_app;

GRANT SELECT ON TABLE gw.level_rule TO gramwell_app;
GRANT SELECT ON TABLE gw.level_rule TO gramwell_read;
GRANT SELECT ON TABLE gw.level_rule TO gramwell_network;

GRANT SELECT ON TABLE gw.migration TO gramwell_app;
GRANT SELECT ON TABLE gw.migration TO gramwell_read;

GRANT SELECT ON TABLE gw.network TO gramwell_app;
GRANT SELECT ON TABLE gw.network TO gramwell_read;
GRANT SELECT ON TABLE gw.network TO gramwell_network;

GRANT UPDATE(name) ON TABLE gw.network TO gramwell_app;

GRANT UPDATE(zone) ON TABLE gw.network TO gramwell_app;

GRANT UPDATE(phones) ON TABLE gw.network TO gramwell_app;

GRANT UPDATE(sensitivity) ON TABLE gw.network TO gramwell_app;

GRANT SELECT,INSERT ON TABLE gw.pen TO gramwell_app;
GRANT SELECT ON TABLE gw.pen TO gramwell_read;

GRANT UPDATE(name) ON TABLE gw.pen TO gramwell_app;

GRANT SELECT ON TABLE gw.region TO gramwell_app;
GRANT SELECT ON TABLE gw.region TO gramwell_read;
GRANT SELECT ON TABLE gw.region TO gramwell_network;

GRANT SELECT ON TABLE gw.scale TO gramwell_app;
GRANT SELECT ON TABLE gw.scale TO gramwell_read;

GRANT INSERT(id) ON TABLE gw.scale TO gramwell_app;

GRANT INSERT(home),UPDATE(home) ON TABLE gw.scale TO gramwell_app;

GRANT INSERT(name),UPDATE(name) ON TABLE gw.scale TO gramwell_app;

GRANT INSERT(step),UPDATE(step) ON TABLE gw.scale TO gramwell_app;

GRANT INSERT(capacity),UPDATE(capacity) ON TABLE gw.scale TO gramwell_app;

GRANT UPDATE(retired_at) ON TABLE gw.scale TO gramwell_app;

GRANT SELECT ON TABLE gw.scale_test TO gramwell_app;
GRANT SELECT ON TABLE gw.scale_test TO gramwell_read;

GRANT INSERT(id) ON TABLE gw.scale_test TO gramwell_app;

GRANT INSERT(scale) ON TABLE gw.scale_test TO gramwell_app;

GRANT INSERT(home) ON TABLE gw.scale_test TO gramwell_app;

GRANT INSERT(at) ON TABLE gw.scale_test TO gramwell_app;

GRANT INSERT(mass) ON TABLE gw.scale_test TO gramwell_app;

GRANT INSERT(reading) ON TABLE gw.scale_test TO gramwell_app;

GRANT INSERT(allowed) ON TABLE gw.scale_test TO gramwell_app;

GRANT INSERT(passed) ON TABLE gw.scale_test TO gramwell_app;

GRANT INSERT(person) ON TABLE gw.scale_test TO gramwell_app;

GRANT INSERT(request_hash) ON TABLE gw.scale_test TO gramwell_app;

GRANT SELECT,INSERT ON TABLE gw.serves TO gramwell_app;
GRANT SELECT ON TABLE gw.serves TO gramwell_read;

GRANT UPDATE(during) ON TABLE gw.serves TO gramwell_app;

GRANT UPDATE(cover) ON TABLE gw.serves TO gramwell_app;

GRANT SELECT ON TABLE gw.sign TO gramwell_app;
GRANT SELECT ON TABLE gw.sign TO gramwell_read;
GRANT SELECT ON TABLE gw.sign TO gramwell_network;

GRANT SELECT ON TABLE gw.sign_group TO gramwell_app;
GRANT SELECT ON TABLE gw.sign_group TO gramwell_read;
GRANT SELECT ON TABLE gw.sign_group TO gramwell_network;

GRANT SELECT,INSERT,DELETE ON TABLE gw.signin_attempt TO gramwell_signin;

GRANT SELECT ON TABLE gw.source TO gramwell_app;
GRANT SELECT ON TABLE gw.source TO gramwell_read;
GRANT SELECT ON TABLE gw.source TO gramwell_network;

GRANT SELECT ON TABLE gw.species TO gramwell_app;
GRANT SELECT ON TABLE gw.species TO gramwell_read;
GRANT SELECT ON TABLE gw.species TO gramwell_network;

GRANT SELECT ON TABLE gw.stay TO gramwell_app;
GRANT SELECT ON TABLE gw.stay TO gramwell_read;

GRANT INSERT(animal) ON TABLE gw.stay TO gramwell_app;

GRANT INSERT(home) ON TABLE gw.stay TO gramwell_app;

GRANT INSERT(pen),UPDATE(pen) ON TABLE gw.stay TO gramwell_app;

GRANT INSERT(during),UPDATE(during) ON TABLE gw.stay TO gramwell_app;

GRANT SELECT ON TABLE gw.step TO gramwell_app;
GRANT SELECT ON TABLE gw.step TO gramwell_read;

GRANT INSERT(id) ON TABLE gw.step TO gramwell_app;

GRANT INSERT(alert) ON TABLE gw.step TO gramwell_app;

GRANT INSERT(home) ON TABLE gw.step TO gramwell_app;

GRANT INSERT(step) ON TABLE gw.step TO gramwell_app;

GRANT INSERT(outcome) ON TABLE gw.step TO gramwell_app;

GRANT INSERT(note) ON TABLE gw.step TO gramwell_app;

GRANT INSERT(due_at) ON TABLE gw.step TO gramwell_app;

GRANT INSERT(at) ON TABLE gw.step TO gramwell_app;

GRANT INSERT(person) ON TABLE gw.step TO gramwell_app;

GRANT SELECT,INSERT,UPDATE ON TABLE gw.verdict TO gramwell_app;
GRANT SELECT ON TABLE gw.verdict TO gramwell_read;

