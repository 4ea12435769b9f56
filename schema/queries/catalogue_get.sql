-- catalogue_get.sql: regions, species, sign groups and signs, as the clients need them to show a form without a network.
-- out  one row (json, version): version is a hash of the content, the same for the same catalogue
with body as (
  select json_build_object(
    'regions', (
      select json_agg(json_build_object('code', r.code, 'position', r.position, 'name', r.name) order by r.position)
      from gw.region r),
    'species', (
      select json_agg(json_build_object(
        'code', s.code, 'name', s.name, 'adult_low', s.adult_low, 'adult_high', s.adult_high, 'entry_low', s.entry_low,
        'entry_high', s.entry_high, 'step', s.step, 'check_days', s.check_days, 'female', s.female, 'male', s.male,
        'young', s.young) order by s.position)
      from gw.species s),
    'groups', (
      select json_agg(json_build_object(
        'code', g.code, 'name', g.name, 'window_days', g.window_days, 'to_people', g.to_people, 'caution', g.caution)
        order by g.code)
      from gw.sign_group g),
    'signs', (
      select json_agg(json_build_object(
        'code', n.code, 'region', n.region, 'species', n.species, 'level', n.level, 'words', n.words, 'hint', n.hint,
        'group', n.sign_group, 'vet_only_normal', n.vet_only_normal, 'usual', n.usual) order by n.position)
      from gw.sign n),
    'levels', (
      select json_agg(json_build_object('code', l.level, 'answer_hours', l.answer_hours) order by l.level)
      from gw.level_rule l))::text as text
)
select '{"version":"' || substr(md5(text), 1, 12) || '",' || substr(text, 2), substr(md5(text), 1, 12) from body
