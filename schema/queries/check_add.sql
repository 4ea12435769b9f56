-- check_add.sql: write one check whole: the check, its findings, its verdict, and what they change in the summaries.
-- in   $1 id, $2 animal, $3 version of the animal it was judged by, $4 home where it was made, $5 kind, $6 at,
--      $7 minutes, $8 answers, $9 note, $10 scale, $11 step, $12 readings, $13 grams, $14 zeroed, $15 confirmed,
--      $16 mouth looked, $17 mouth seen, $18 level of the signs, $19 request hash in hexadecimal,
--      $20 findings [{sign, region, sign_group, grade, side, note, usual}], $21 regions looked at, $22 with findings,
--      $23 marked (1 or 0 by region position), $24 verdict, $25 verdict alone, $26 its level, $27 kind, $28 quality,
--      $29 by session, $30 level of the whole check, $31 its kind
-- out  one row. Raises GW412 when the animal's version is another by now, or the home is not visible.
with place as (
  select h.id, ($6::timestamptz at time zone h.zone)::date as day
  from gw.home h
  where h.id = $4::uuid
), state as (
  update gw.animal_state s
  set version = s.version + 1,
      checked_at = greatest(s.checked_at, $6::timestamptz),
      checked_on = greatest(s.checked_on, p.day),
      weighed_at = case when $13::numeric is null then s.weighed_at else greatest(s.weighed_at, $6::timestamptz) end,
      grams = case when $13::numeric is null or s.weighed_at > $6::timestamptz then s.grams else $13::numeric end,
      level = case when s.checked_at > $6::timestamptz then s.level else $30::gw.level end,
      kind = case when s.checked_at > $6::timestamptz then s.kind else $31::text end,
      due_on = case when $5::text in ('weekly', 'baseline') then greatest(s.due_on, p.day + a.check_every_days) else s.due_on end
  from place p, gw.animal a
  where s.animal = $2::uuid and a.id = $2::uuid and s.version = $3::bigint
  returning s.home
), made as (
  insert into gw.check (id, animal, home, made_in, person, kind, at, day, minutes, answers, note, scale, step, readings,
                        grams, zeroed, confirmed, mouth_looked, mouth_seen, sign_level, request_hash)
  select $1::uuid, $2::uuid, s.home, p.id, (select gw.me()), $5::text, $6::timestamptz, p.day, $7::int, $8::jsonb, $9::text,
         $10::uuid, $11::numeric, $12::numeric[], $13::numeric, $14::boolean, $15::boolean, $16::int, $17::int,
         $18::gw.level, decode($19::text, 'hex')
  from state s, place p
  returning id
), found as (
  insert into gw.finding ("check", sign, animal, home, made_in, at, region, sign_group, grade, side, note, usual)
  select $1::uuid, f.sign, $2::uuid, s.home, $4::uuid, $6::timestamptz, f.region, f.sign_group, f.grade, f.side, f.note, f.usual
  from jsonb_to_recordset($20::jsonb)
    as f(sign text, region text, sign_group text, grade text, side text, note text, usual boolean), state s
), judged as (
  insert into gw.verdict ("check", animal, home, at, level, kind, quality, by_session, body, alone)
  select $1::uuid, $2::uuid, s.home, $6::timestamptz, $26::gw.level, $27::text, $28::text, $29::boolean, $24::json, $25::json
  from state s
  where $24::json is not null
), counted as (
  insert into gw.home_week as w (home, week, looked, found, marked)
  select p.id, date_trunc('week', p.day)::date, $21::int[], $22::int[], $23::int[]
  from state s, place p
  where $5::text <> 'weigh_only' and $4::uuid = s.home
  on conflict (home, week) do update
  set looked = gw.add_counts(w.looked, excluded.looked), found = gw.add_counts(w.found, excluded.found),
      marked = gw.add_counts(w.marked, excluded.marked)
)
select gw.must_claim(count(*)) from made
