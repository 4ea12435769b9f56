-- 0003 catalogue: regions of the body, species, and the signs that a lay carer can see, each with its source.
--
-- Adds     gw.source, gw.region, gw.species, gw.sign_group, gw.sign, gw.level_rule and their rows.
-- Locks    new tables only.
-- Undo     drop the tables.
--
-- The same for every network: changed by a migration, never by a screen. No personal data, hence no row policies.

create table gw.source (
  key      text primary key,
  citation text not null,
  read     text not null
);
comment on column gw.source.read is 'How much of the source was seen when the facts were taken from it.';

create table gw.region (
  code     text primary key,
  position int not null unique,
  name     text not null
);
comment on table gw.region is 'Parts of the body in the order of the hands. The weight comes after the last.';

create table gw.species (
  code       text primary key,
  position   int not null unique,
  name       text not null,
  adult_low  int not null,
  adult_high int not null,
  entry_low  numeric(6, 1) not null,
  entry_high numeric(6, 1) not null,
  step       numeric(3, 1) not null,
  check_days int not null default 7,
  female     text not null,
  male       text not null,
  young      text not null,
  source     text not null,
  note       text
);
comment on column gw.species.adult_low is 'Grams: range of adult weight in the sources.';
comment on column gw.species.entry_low is 'Grams: under this, or over entry_high, a reading is refused as impossible.';
comment on column gw.species.step is 'Grams: the coarsest step that a scale for this species may have.';

create table gw.sign_group (
  code        text primary key,
  name        text not null,
  window_days int,
  to_people   boolean not null default false,
  caution     text,
  source      text not null
);
comment on column gw.sign_group.window_days is 'Days to look back for the same group in the home; null: not passed on.';

create table gw.sign (
  code            text primary key,
  position        int not null unique,
  region          text not null references gw.region on delete restrict,
  species         text[],
  level           gw.level not null,
  words           text not null,
  hint            text,
  sign_group      text references gw.sign_group on delete restrict,
  vet_only_normal boolean not null,
  usual           boolean not null default false,
  source          text not null,
  source_read     text not null,
  level_source    text not null
);
comment on column gw.sign.species is 'Species it is offered for; null: all.';
comment on column gw.sign.vet_only_normal is 'As a known normal it goes on raising alerts until a vet has confirmed it.';
comment on column gw.sign.usual is 'Harmless in itself: recorded so that it is not taken for something else.';
comment on column gw.sign.level_source is 'Where the level comes from; most levels are common practice and want a vet''s eye before use.';

create table gw.level_rule (
  level        gw.level primary key,
  answer_hours int,
  source       text not null
);
comment on column gw.level_rule.answer_hours is 'An alert of this level that nobody took by then has waited too long.';

grant select on gw.source, gw.region, gw.species, gw.sign_group, gw.sign, gw.level_rule
  to gramwell_app, gramwell_read, gramwell_network;

insert into gw.region (code, position, name) values
  ('behaviour', 1, 'Behaviour'),
  ('breathing', 2, 'Breathing'),
  ('body', 3, 'Body'),
  ('skin', 4, 'Skin'),
  ('coat', 5, 'Coat'),
  ('eyes', 6, 'Eyes'),
  ('ears', 7, 'Ears'),
  ('underside', 8, 'Underside'),
  ('feet', 9, 'Feet'),
  ('scent', 10, 'Scent glands'),
  ('teeth', 11, 'Teeth');

insert into gw.species (code, position, name, adult_low, adult_high, entry_low, entry_high, step, check_days, female, male, young,
  source, note) values
  ('guinea_pig', 1, 'guinea pig', 700, 1200, 40, 2660, 1.0, 7, 'sow', 'boar', 'pup',
   'RATRAIN+MELBGP+GLYNX+ONEILL2024', 'entry range: full span of UK records 400-2660 g, lower end widened for newborn'),
  ('rabbit', 2, 'rabbit', 1000, 7000, 30, 12000, 5.0, 7, 'doe', 'buck', 'kit',
   'CCAC+LAFEBER+ONEILL2019+WIKIRAB+MEM', 'breeds differ widely; upper end common practice, no source'),
  ('rat', 3, 'rat', 250, 520, 4, 1000, 1.0, 7, 'doe', 'buck', 'kitten',
   'NCKU', 'upper entry limit common practice, no source'),
  ('mouse', 4, 'mouse', 20, 40, 1, 80, 0.1, 7, 'doe', 'buck', 'pup',
   'ARCWA', 'upper entry limit common practice, no source'),
  ('hamster_syrian', 5, 'Syrian hamster', 85, 150, 2, 300, 1.0, 7, 'female', 'male', 'pup',
   'HAMVET', 'upper entry limit common practice, no source'),
  ('hamster_dwarf', 6, 'dwarf hamster', 20, 50, 1, 90, 0.1, 7, 'female', 'male', 'pup',
   'HOBHAM+MEM', 'several species; weights partly from memory'),
  ('gerbil', 7, 'gerbil', 70, 110, 2, 200, 1.0, 7, 'doe', 'buck', 'pup',
   'NCKU', 'upper entry limit common practice, no source'),
  ('chinchilla', 8, 'chinchilla', 400, 600, 20, 1200, 1.0, 7, 'female', 'male', 'kit',
   'HOEFER', 'upper entry limit common practice, no source'),
  ('degu', 9, 'degu', 170, 300, 10, 500, 1.0, 7, 'female', 'male', 'pup',
   'BRAINM', 'upper entry limit common practice, no source'),
  ('ferret', 10, 'ferret', 600, 2000, 5, 3500, 5.0, 7, 'jill', 'hob', 'kit',
   'CVYMA', 'upper entry limit common practice, no source'),
  ('hedgehog', 11, 'African hedgehog', 300, 600, 8, 1500, 1.0, 7, 'sow', 'boar', 'hoglet',
   'MEM', 'upper entry limit common practice, no source');

insert into gw.sign_group (code, name, window_days, to_people, caution, source) values
  ('teeth', 'front teeth', null, false, null, 'common practice, no source'),
  ('chin', 'wet chin', null, false, null, 'common practice, no source'),
  ('food', 'trouble with food', null, false, null, 'common practice, no source'),
  ('itch', 'itch, crusts, mites or lice', 21, true, 'Wash hands; keep the group and its bedding together, away from others.', 'RUTGERS+DORA'),
  ('ringworm', 'bald scaly patches', 21, true, 'Gloves, wash hands; keep from small children and people with weak immunity.', 'WIKIDERM+VETKEYDERM'),
  ('airway', 'sneezing or hard breathing', 7, false, 'Do not house rabbits with guinea pigs; part the sick.', 'DORA'),
  ('droppings', 'loose droppings', 7, false, 'Dry clean floors; droppings out daily.', 'VETSCRAFT'),
  ('flystrike', 'fly eggs or maggots', 1, false, 'Not passed on, but the same home has the same risk.', 'MELBFLY');

insert into gw.sign (code, position, region, species, level, words, hint, sign_group, vet_only_normal, usual, source, source_read,
  level_source) values
  ('not_eating_12h', 1, 'behaviour', null, 'emergency', 'no food or no droppings for 12 hours',
   'Untouched food and a clean floor since last evening.', null, true, false, 'KREMPELS+RVNGP+NOEATWEB', 'read', 'read'),
  ('eating_less', 2, 'behaviour', null, 'same_day', 'eats less, fewer or smaller droppings',
   null, null, true, false, 'RVNGP', 'read', 'read'),
  ('hunched_still', 3, 'behaviour', null, 'emergency', 'hunched, dull, will not move, teeth grinding',
   'Sits like a ball with half-shut eyes; grinding can be heard.', null, true, false, 'NOEATWEB', 'read', 'read'),
  ('head_tilt', 4, 'behaviour', null, 'same_day', 'head tilt, rolling, falling, flicking eyes',
   'The head stays to one side when it sits still.', null, true, false, 'LATNEY', 'read', 'common practice'),
  ('fit_collapse', 5, 'behaviour', null, 'emergency', 'fit, collapse, cold, limp',
   null, null, true, false, 'CP', 'common practice', 'common practice'),
  ('hind_leg_loss', 6, 'behaviour', null, 'emergency', 'cannot use back legs',
   null, null, true, false, 'CP', 'common practice', 'common practice'),
  ('laboured', 7, 'breathing', null, 'emergency', 'open mouth, heaving sides, blue gums, gasping',
   'The sides pump; the neck is stretched; the mouth is open.', 'airway', true, false, 'NOEATWEB+GLYNX', 'read', 'read'),
  ('noisy_sneezing', 8, 'breathing', null, 'same_day', 'sneezing, clicking, wet nose or forepaws',
   'Forepaws matted from wiping the nose.', 'airway', true, false, 'GLYNX', 'read', 'common practice'),
  ('dewlap', 9, 'body', array['rabbit'], 'steady', 'fold of skin under chin of a doe',
   null, null, false, true, 'RWAF', 'read', 'read'),
  ('thin_bony', 10, 'body', null, 'vet_soon', 'spine, hips or ribs stand out under the hand',
   'Stroke along the back: every knob can be counted.', null, true, false, 'CP', 'common practice', 'common practice'),
  ('heavy', 11, 'body', null, 'watch', 'ribs hard to find, rolls or a hanging belly',
   null, null, false, false, 'CP', 'common practice', 'common practice'),
  ('abscess', 12, 'skin', null, 'same_day', 'hot, firm or growing lump, pus',
   null, null, true, false, 'ONEILL2024', 'read', 'common practice'),
  ('lump_slow', 13, 'skin', null, 'vet_soon', 'small slow lump',
   null, null, true, false, 'CP', 'common practice', 'common practice'),
  ('mange', 14, 'skin', array['guinea_pig'], 'same_day', 'frantic scratching, crusts, fits when touched',
   'Thick crusts on back and shoulders.', 'itch', true, false, 'DORA', 'read', 'common practice'),
  ('ringworm', 15, 'skin', null, 'vet_soon', 'round bald scaly patch, often face or ears',
   'A coin-shaped bald patch with scales.', 'ringworm', true, false, 'DORA', 'read', 'common practice'),
  ('lice_mites_mild', 16, 'skin', null, 'vet_soon', 'dandruff, nits, moving specks',
   'Part the fur on the back against the light.', 'itch', true, false, 'RUTGERS', 'read', 'common practice'),
  ('wound', 17, 'skin', null, 'same_day', 'bite or cut',
   null, null, true, false, 'CP', 'common practice', 'common practice'),
  ('matted', 18, 'coat', null, 'watch', 'mats, clumps',
   'Felt that a comb does not pass.', null, false, false, 'CP', 'common practice', 'common practice'),
  ('rough_coat', 19, 'coat', null, 'watch', 'dull, staring or greasy coat',
   null, null, false, false, 'CP', 'common practice', 'common practice'),
  ('bald_patch', 20, 'coat', null, 'vet_soon', 'a bald patch that was not there before',
   null, null, true, false, 'CP', 'common practice', 'common practice'),
  ('weepy', 21, 'eyes', null, 'vet_soon', 'clear wet eye',
   'Wet fur below the eye.', null, true, false, 'GPROUTINE+DENTWEB', 'read', 'read'),
  ('pus_or_closed', 22, 'eyes', null, 'same_day', 'thick discharge, shut, cloudy or bulging eye',
   null, null, true, false, 'GPROUTINE', 'read', 'common practice'),
  ('white_fluid', 23, 'eyes', array['guinea_pig'], 'steady', 'brief white fluid while grooming',
   null, null, false, true, 'MEM', 'from memory', 'common practice'),
  ('grit_old', 24, 'eyes', array['guinea_pig'], 'watch', 'a little grit or crystals in an old animal',
   null, null, false, false, 'GPROUTINE', 'read', 'read'),
  ('red_tears', 25, 'eyes', array['rat', 'mouse'], 'vet_soon', 'red crust around eyes or nose',
   'Looks like dried blood; wipe with a damp cloth to see.', null, true, false, 'MEM', 'from memory', 'common practice'),
  ('crust', 26, 'ears', null, 'vet_soon', 'crusts, head shaking, smell',
   'Brown flakes inside the ear.', 'itch', true, false, 'RUTGERS+GPROUTINE', 'read', 'common practice'),
  ('wax', 27, 'ears', null, 'steady', 'a little clean wax',
   null, null, false, true, 'CP', 'common practice', 'common practice'),
  ('bald_behind', 28, 'ears', array['guinea_pig'], 'steady', 'bald patch behind the ear',
   null, null, false, true, 'GPQUIRK', 'read', 'read'),
  ('lop_wax', 29, 'ears', array['rabbit'], 'watch', 'lop ears: more wax, easily inflamed',
   null, null, false, false, 'MEM', 'from memory', 'common practice'),
  ('maggots', 30, 'underside', null, 'emergency', 'fly eggs or maggots anywhere',
   'Part the fur around the tail and look at the skin.', 'flystrike', true, false, 'MELBFLY', 'read', 'read'),
  ('soiled', 31, 'underside', null, 'vet_soon', 'dirty, wet or matted behind',
   null, null, true, false, 'ONEILL2019', 'read', 'common practice'),
  ('bloat', 32, 'underside', null, 'emergency', 'tight, drum-like, swollen belly',
   'Tap gently: it sounds like a drum.', null, true, false, 'RVNGP+GLYNX', 'read', 'read'),
  ('watery_diarrhoea', 33, 'underside', null, 'emergency', 'liquid droppings',
   null, 'droppings', true, false, 'GLYNX', 'read', 'common practice'),
  ('urine_blood', 34, 'underside', null, 'same_day', 'red urine with squeaking, straining or dribbling',
   null, null, true, false, 'GLYNX', 'read', 'common practice'),
  ('no_urine', 35, 'underside', null, 'emergency', 'strains, passes nothing',
   null, null, true, false, 'GLYNX', 'read', 'common practice'),
  ('crusty_nipples', 36, 'underside', array['guinea_pig'], 'vet_soon', 'crusts on the nipples of a sow',
   'Brown crusts around both nipples.', null, true, false, 'OVWEB', 'read', 'read'),
  ('flank_bald', 37, 'underside', array['guinea_pig'], 'vet_soon', 'even hair loss on both flanks, no itch',
   'The same on both sides.', null, true, false, 'OVWEB', 'read', 'read'),
  ('impaction', 38, 'underside', array['guinea_pig'], 'vet_soon', 'boar with a lump of soft dung in the pouch',
   null, null, true, false, 'MEM', 'from memory', 'common practice'),
  ('doe_bleeding', 39, 'underside', array['rabbit'], 'same_day', 'blood from an unspayed doe',
   null, null, true, false, 'MEM', 'from memory', 'common practice'),
  ('mammary_lump', 40, 'underside', null, 'vet_soon', 'lump in the milk line',
   null, null, true, false, 'MEM', 'from memory', 'common practice'),
  ('late_pregnant_off_food', 41, 'underside', array['guinea_pig'], 'emergency', 'heavily pregnant or new mother off food',
   null, null, true, false, 'VETPEDIA+GPPREG', 'read', 'common practice'),
  ('bumblefoot_red', 42, 'feet', null, 'vet_soon', 'red, bald or thick skin under foot',
   'Turn the foot up: red, shiny or bald.', null, true, false, 'CP', 'common practice', 'common practice'),
  ('bumblefoot_open', 43, 'feet', null, 'same_day', 'open, swollen, bleeding sole',
   null, null, true, false, 'CP', 'common practice', 'common practice'),
  ('nails_long', 44, 'feet', null, 'watch', 'long or curling nails',
   'The nail turns sideways or passes the toe.', null, false, false, 'ONEILL2024+ONEILL2019', 'read', 'common practice'),
  ('spur', 45, 'feet', array['guinea_pig'], 'steady', 'hard skin spur on front sole',
   null, null, false, true, 'GPQUIRK', 'read', 'read'),
  ('grease_gland', 46, 'scent', null, 'steady', 'greasy gland over the tail (boar), waxy glands by the vent (rabbit)',
   null, null, false, true, 'CP', 'common practice', 'common practice'),
  ('incisor_overgrown', 47, 'teeth', null, 'vet_soon', 'front teeth long or curling',
   'Longer than last time, or curling.', 'teeth', true, false, 'ONEILL2019', 'read', 'common practice'),
  ('incisor_misaligned', 48, 'teeth', null, 'vet_soon', 'front teeth do not meet or are slanted',
   'The cutting edge is slanted or the rows miss each other.', 'teeth', true, false, 'VETPEDIA', 'read', 'common practice'),
  ('incisor_broken', 49, 'teeth', null, 'vet_soon', 'broken front tooth, even height lost',
   'Uneven edge, one shorter than its neighbour.', 'teeth', true, false, 'CP', 'common practice', 'common practice'),
  ('drool', 50, 'teeth', null, 'same_day', 'wet chin, chest or forelegs',
   'The fur under the chin is wet or in spikes.', 'chin', true, false, 'DENTWEB+GLYNX', 'read', 'read'),
  ('drops_food', 51, 'teeth', null, 'same_day', 'picks up and drops food',
   'Watch it eat one piece of hay.', 'food', true, false, 'RVNGP+DENTWEB', 'read', 'common practice'),
  ('selective', 52, 'teeth', null, 'vet_soon', 'leaves hay, takes soft food, bowl instead of bottle',
   'Hay untouched, soft food gone.', 'food', true, false, 'RVNGP', 'read', 'read'),
  ('jaw_swelling', 53, 'teeth', null, 'same_day', 'lump on lower jaw or under eye',
   'Run a finger along both sides of the lower jaw and compare.', null, true, false, 'DENTWEB+VETPEDIA', 'read', 'common practice');

insert into gw.level_rule (level, answer_hours, source) values
  ('steady', null, 'common practice, no source'),
  ('watch', 168, 'common practice, no source'),
  ('vet_soon', 48, 'common practice, no source'),
  ('same_day', 4, 'common practice, no source'),
  ('emergency', 1, 'common practice, no source');

-- CP: common practice, no source. MEM: from memory, no text seen.
insert into gw.source (key, citation, read) values
  ('ARCWA', 'Animal Resources Centre (Western Australia): biological data of mouse and rat; Wistar organ weights at 29 months (IFFA CREDO)', 'page read'),
  ('BRAINM', 'Degu', 'page read'),
  ('CCAC', 'Canadian Council on Animal Care guide, chapter XVI Rabbits (year 1984 from memory)', 'opening read'),
  ('CP', '-', 'common practice, no source'),
  ('CVYMA', 'Veterinary clinic page on ferrets', 'page read'),
  ('DENTWEB', 'Veterinary owner pages on rabbit teeth', 'pages read'),
  ('DORA', 'University of Missouri, Diseases of Research Animals: guinea pig Bordetella, dermatophytosis, mange mites; rabbit bordetellosis, dermatophytosis, Psoroptes', 'pages read'),
  ('GLYNX', 'Guinea Lynx care guide: Weigh Weekly; and Emergency medical guide', 'both pages read (openings)'),
  ('GPPREG', 'Veterinary blog: pregnancy in guinea pigs', 'page read (opening)'),
  ('GPQUIRK', 'Guinea pig body quirks (experienced keeper)', 'opening read'),
  ('GPROUTINE', 'Guinea pig routine health checks', 'opening read'),
  ('HAMVET', 'Hamster natural history sheet for veterinarians (issuer not shown)', 'opening read'),
  ('HOBHAM', 'Hobby pages on dwarf hamsters', 'read; weak'),
  ('HOEFER', 'Hoefer HL. Chinchilla wellness (conference proceedings)', 'openings read'),
  ('KREMPELS', 'Krempels D, text on gastrointestinal stasis, quoted by a rescue blog', 'quotation read; original not seen'),
  ('LAFEBER', 'Body condition scoring the rabbit', 'opening read'),
  ('LATNEY', 'Latney LV, Bradley C, Wyre N. Encephalitozoon cuniculi in pet rabbits. Vet Med Res Rep 2014;5:169-180', 'abstract and introduction read'),
  ('MELBFLY', 'Flystrike update (veterinary clinic)', 'page read'),
  ('MELBGP', 'Guinea pig facts (veterinary clinic page)', 'page read'),
  ('MEM', '-', 'from memory, no text seen'),
  ('NCKU', 'National Cheng Kung University Laboratory Animal Center: physiological features, rat; gerbil (the latter quotes The Biology and Medicine of Rabbits and Rodents)', 'both tables read'),
  ('NOEATWEB', 'Owner pages on not eating (bunnyhugga; smallpetselect; healthandpetwellness; cavyinfo)', 'read; weak, they disagree'),
  ('ONEILL2019', 'O''Neill DG, Craven HC, Brodbelt DC, Church DB, Hedley J. Morbidity and mortality of domestic rabbits under primary veterinary care in England. Vet Rec 2019;186:451. doi:10.1136/vr.105592', 'abstract read'),
  ('ONEILL2024', 'O''Neill DG, Taffinder JL, Brodbelt DC, Baldrey V. Demography, common disorders and mortality of guinea pigs under UK primary veterinary care in 2019. PLOS ONE 2024 (exact title wording from memory)', 'abstract + two news reports read; paper itself not seen'),
  ('OVWEB', 'Pages on guinea-pig ovarian cysts: exoticsvets.com (vet, quotes Pilny 2014); vetirving.co.uk factsheet by Perpinan & Edis; review abstract in dergipark jaws 1403398; two guinea-pig owner pages', 'read; crusty nipples are named by the exoticsvets page and the two owner pages, not by the factsheet or the review'),
  ('RATRAIN', 'Laboratory guinea pig biology, table of physiological values (updated 16 Jun 2021)', 'page read'),
  ('RUTGERS', 'Cole D, Rea-Keywood J, Metz MA. Cavy lice (FS1184); Ear mites and canker (FS1185). Rutgers Cooperative Extension', 'fact sheets read (openings)'),
  ('RVNGP', 'Purnell E (RVN): guinea pig emergencies; spotting signs of dental problems in rabbits', 'openings read'),
  ('RWAF', 'Rabbit Welfare Association & Fund: introducing a new rabbit after RVHD2; RVHD2 statement; is your rabbit overweight', 'pages read (openings)'),
  ('VETKEYDERM', 'Dermatomycosis (textbook chapter)', 'opening read'),
  ('VETPEDIA', 'Vetpedia pages: reproduction of the guinea pig; pregnancy toxaemia in the guinea pig; malocclusion in the guinea pig; antibiotic toxicity in the hamster', 'openings of the four pages read'),
  ('VETSCRAFT', 'Coccidiosis in rabbits', 'page read; weak'),
  ('WIKIDERM', 'Wikipedia: Dermatophytosis', 'opening read'),
  ('WIKIRAB', 'Wikipedia: New Zealand rabbit; Netherland Dwarf rabbit', 'read');
