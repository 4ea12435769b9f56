// The demo network: who lives where, what was weighed and seen in thirty weeks, and what the engine should make of it.
//
// makeNetwork({seed, until}) -> {network, people, homes, pens, scales, animals, timeline, events, quiet}
//   until     date (YYYY-MM-DD) of the last day; nothing lies after the evening before it. Every date of the story is a
//             number of days before it, so the story is the same whenever it is loaded.
//   timeline  what people do, in order of time, as bodies of the API
//   events    the story: what must be found, where, and between which days (story.md tells it in words)
//   quiet     animals of which nothing more than a `watch` may be said
// The same seed and date always give the same bytes. All people and animals are invented.
//
//   node demo/network.mjs [--seed N] [--until DATE]     print it as JSON
//                         --csv, --events               its weighings and its events, for `gramwell assess`
//                         --accounts                    three sign-ins: role, e-mail address, passphrase

import { createHash } from 'node:crypto';
import { fileURLToPath } from 'node:url';

export const ZONE = 'Europe/London';
export const WEEKS = 30;
const DEFAULT_SEED = 9;

// ---- chance ---------------------------------------------------------------------------------------------------------

// Each animal draws from a stream of its own, so that a change to one leaves the others as they were.
function stream(...names) {
  let state = createHash('sha256').update(names.join('/')).digest().readUInt32LE(0);
  const uniform = () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  const normal = () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
  return { uniform, normal, between: (a, b) => a + (b - a) * uniform(), pick: (list) => list[Math.floor(uniform() * list.length)] };
}

// ---- time -----------------------------------------------------------------------------------------------------------

const offsets = new Intl.DateTimeFormat('en-GB', { timeZone: ZONE, timeZoneName: 'longOffset' });
// Minutes that the zone's clock is ahead of UTC at an instant.
function offsetAt(instant) {
  const text = offsets.formatToParts(instant).find((p) => p.type === 'timeZoneName').value;
  const m = /GMT(?:([+-])(\d\d):(\d\d))?/.exec(text);
  return m[1] ? (m[1] === '-' ? -1 : 1) * (Number(m[2]) * 60 + Number(m[3])) : 0;
}
const two = (n) => String(n).padStart(2, '0');

class Calendar {
  constructor(until) {
    if (!/^\d{4}-\d\d-\d\d$/.test(until)) throw new Error(`until is ${until}, expected YYYY-MM-DD`);
    this.midnight = Date.parse(`${until}T00:00:00Z`);
  }
  date(day) {
    return new Date(this.midnight + day * 86400000).toISOString().slice(0, 10);
  }
  // RFC 3339 with the home's offset; day is relative to `until`, minute counts from the home's midnight.
  instant(day, minute) {
    const wall = this.midnight + day * 86400000 + minute * 60000;
    const offset = offsetAt(new Date(wall));
    const sign = offset < 0 ? '-' : '+';
    const size = Math.abs(offset);
    return `${new Date(wall).toISOString().slice(0, 19)}${sign}${two(Math.floor(size / 60))}:${two(size % 60)}`;
  }
}

// RFC 9562 layout of version 7; the random part comes from the name, so that the same story has the same identities.
export function uuid(name, at = 0) {
  const bytes = createHash('sha256').update(`gramwell demo ${name}`).digest().subarray(0, 16);
  bytes.writeUIntBE(Math.max(0, at), 0, 6);
  bytes[6] = (bytes[6] & 0x0f) | 0x70;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = bytes.toString('hex');
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join('-');
}

// ---- the living -----------------------------------------------------------------------------------------------------

// gut: sd of ln(weight) from one weighing to the next of a calm adult. In the one weekly series of adults that was found
// (16 rats, HANDCROWDER) steps have an sd of 1.6 %, so one weighing has 1.13 %; other species in proportion to the
// engine's priors. birth g and k a day: how the young approach the adult weight, ln w = ln A - ln(A / birth) exp(-k age).
const SPECIES = {
  guinea_pig: { gut: 0.0113, birth: 90, k: 0.023 },
  rabbit: { gut: 0.0113, birth: 50, k: 0.025 },
  rat: { gut: 0.0113, birth: 6, k: 0.03 },
  hamster_syrian: { gut: 0.0136, birth: 2.5, k: 0.05 },
  gerbil: { gut: 0.0136, birth: 3, k: 0.04 },
  chinchilla: { gut: 0.0113, birth: 50, k: 0.018 },
  degu: { gut: 0.0113, birth: 14, k: 0.02 },
};
// The regions in the order of the hands; every species is asked for all of them.
export const REGIONS = ['behaviour', 'breathing', 'body', 'skin', 'coat', 'eyes', 'ears', 'underside', 'feet', 'scent', 'teeth'];

// How often a finding is made, a year: guinea pigs ONEILL2024, rabbits ONEILL2019; the rest by common practice.
const BACKGROUND = {
  guinea_pig: [['nails_long', 'feet', 0.266], ['pus_or_closed', 'eyes', 0.05], ['abscess', 'skin', 0.04]],
  rabbit: [['nails_long', 'feet', 0.16], ['soiled', 'underside', 0.045], ['incisor_overgrown', 'teeth', 0.043]],
  rat: [['red_tears', 'eyes', 0.1]],
  chinchilla: [['matted', 'coat', 0.1]],
};
const MINOR = new Set(['nails_long', 'matted']);
const REGION_OF = {
  selective: 'teeth', drool: 'teeth', not_eating_12h: 'behaviour', eating_less: 'behaviour', laboured: 'breathing',
  lice_mites_mild: 'skin', mange: 'skin', crusty_nipples: 'underside', spur: 'feet', grease_gland: 'scent',
  bald_behind: 'ears', wax: 'ears', dewlap: 'body', white_fluid: 'eyes',
};

const people = [
  ['coordinator', 'Ottoline Fenn', 'coordinator@demo.invalid', 'coordinator', 'a steady hand and a kind word'],
  ['night', 'Casimir Thorne', 'casimir@demo.invalid', 'coordinator', 'nobody rings before half past six'],
  ['intake', 'Philippa Drewe', 'intake@demo.invalid', 'intake', 'forty crates on a wet monday'],
  ['wren', 'Wren Halloran', 'volunteer@demo.invalid', 'volunteer', 'thistle seed and clover hay'],
  ['okeke', 'Ngozi Ambler', 'ngozi@demo.invalid', 'volunteer', 'the garden room at four'],
  ['lind', 'Rasmus Elding', 'rasmus@demo.invalid', 'volunteer', 'rats in the attic, happily'],
  ['pera', 'Inês Quayle', 'ines@demo.invalid', 'volunteer', 'a scale with a mind of its own'],
  ['marsh', 'Dorothea Marsh', 'dorothea@demo.invalid', 'volunteer', 'mind the step by the hutch'],
  ['dunn', 'Bartholomew Dunnock', 'bartholomew@demo.invalid', 'volunteer', 'wheels go round at midnight'],
  ['cast', 'Saoirse Castell', 'saoirse@demo.invalid', 'volunteer', 'dust baths on tuesdays only'],
  ['vale', 'Mirembe Vale', 'mirembe@demo.invalid', 'volunteer', 'three small squeaks at dawn'],
  ['ibbs', 'Edmund Ibbotson', 'edmund@demo.invalid', 'volunteer', 'bowl first, then the button'],
  ['tamb', 'Lucasta Tambling', 'lucasta@demo.invalid', 'volunteer', 'the conservatory is too warm'],
].map(([key, name, email, role, passphrase]) => ({ key, name, email, role, passphrase }));

// key, name, kind, who, days before `until` of the last check, minute of the day, scale step, capacity
const homes = [
  ['kitchen', 'Halloran kitchen', 'foster', 'wren', 7, 1125, 1, 5000],
  ['shed', 'Halloran shed', 'foster', 'wren', 7, 1045, 1, 10000],
  ['garden', 'Garden room', 'foster', 'okeke', 3, 970, 1, 5000],
  ['attic', 'Elding attic', 'foster', 'lind', 2, 1190, 1, 3000],
  ['backroom', 'Quayle back room', 'foster', 'pera', 4, 1080, 1, 5000],
  ['cottage', 'Marsh cottage', 'foster', 'marsh', 5, 560, 1, 10000],
  ['hallway', 'Dunnock hallway', 'foster', 'dunn', 1, 1275, 0.1, 500],
  ['loft', 'Castell loft', 'foster', 'cast', 6, 1230, 1, 3000],
  ['parlour', 'Vale parlour', 'foster', 'vale', 2, 1010, 1, 3000],
  ['stable', 'Ibbotson stable', 'foster', 'ibbs', 3, 500, 1, 5000],
  ['quarantine', 'Quarantine room', 'quarantine', 'intake', 1, 600, 1, 5000],
  ['conservatory', 'Tambling conservatory', 'foster', 'tamb', 16, 1150, 1, 10000],
].map(([key, name, kind, who, last, minute, step, capacity]) => ({ key, name, kind, who, last, minute, step, capacity }));

// key, name, species, sex, adult grams, age in days at the end, home, pen, coat, markings, and what is special
const animals = [
  // Halloran kitchen: guinea pigs, two and two and two
  ['biscuit', 'Biscuit', 'guinea_pig', 'male', 1124, 1180, 'kitchen', 'Window', 'smooth', 'cream and brown', { neutered: true, normals: ['grease_gland'] }],
  ['crumpet', 'Crumpet', 'guinea_pig', 'female', 988, 1010, 'kitchen', 'Window', 'rosette', 'ginger', {}],
  ['maple', 'Maple', 'guinea_pig', 'female', 1047, 890, 'kitchen', 'Dresser', 'smooth', 'brown', { normals: ['spur'] }],
  ['tuppence', 'Tuppence', 'guinea_pig', 'female', 936, 760, 'kitchen', 'Dresser', 'long', 'black and white', {}],
  ['fennel', 'Fennel', 'guinea_pig', 'male', 1166, 640, 'kitchen', 'Door', 'smooth', 'grey agouti', { neutered: true }],
  ['dot', 'Dot', 'guinea_pig', 'female', 1012, 1690, 'kitchen', 'Door', 'smooth', 'white, one dark ear', { normals: ['bald_behind'] }],
  // Halloran shed: rabbits
  ['bramble', 'Bramble', 'rabbit', 'female', 2240, 1500, 'shed', 'Left hutch', 'short', 'black', { neutered: true, normals: ['dewlap'] }],
  ['thistle', 'Thistle', 'rabbit', 'male', 1980, 1320, 'shed', 'Left hutch', 'short', 'blue-grey', { neutered: true }],
  ['mopsy', 'Oat', 'rabbit', 'male', 1710, 820, 'shed', 'Right hutch', 'lop', 'sandy', { neutered: true }],
  // Garden room: guinea pigs; the mites go round here
  ['hazel', 'Hazel', 'guinea_pig', 'female', 1005, 930, 'garden', 'Long run', 'smooth', 'hazel', {}],
  ['teasel', 'Teasel', 'guinea_pig', 'female', 957, 910, 'garden', 'Long run', 'rosette', 'brown and white', {}],
  ['sedge', 'Sedge', 'guinea_pig', 'female', 1083, 1240, 'garden', 'Long run', 'smooth', 'agouti', { normals: ['spur'] }],
  ['burdock', 'Burdock', 'guinea_pig', 'male', 1190, 850, 'garden', 'Corner pen', 'smooth', 'black', { neutered: true, normals: ['grease_gland'] }],
  ['yarrow', 'Yarrow', 'guinea_pig', 'male', 1102, 770, 'garden', 'Corner pen', 'long', 'cream', { neutered: true }],
  ['pip', 'Pip', 'guinea_pig', 'male', 1080, 126, 'garden', 'Nursery', 'smooth', 'ginger and white', { arrives: -73, kind: 'stray', from: 'found in a cardboard box by the allotments' }],
  // Elding attic: rats
  ['ludo', 'Ludo', 'rat', 'male', 548, 790, 'attic', 'Tall cage', 'short', 'hooded, black', { stage: 'senior' }],
  ['domino', 'Domino', 'rat', 'male', 512, 420, 'attic', 'Tall cage', 'short', 'hooded, grey', {}],
  ['chequers', 'Chequers', 'rat', 'male', 489, 420, 'attic', 'Tall cage', 'rex', 'white', {}],
  ['halma', 'Halma', 'rat', 'female', 318, 460, 'attic', 'Low cage', 'short', 'cinnamon', {}],
  ['faro', 'Faro', 'rat', 'female', 296, 460, 'attic', 'Low cage', 'short', 'black', {}],
  // Quayle back room: guinea pigs; the scale that drifts
  ['ash', 'Ash', 'guinea_pig', 'female', 905, 880, 'backroom', 'Upper', 'smooth', 'ash grey', {}],
  ['ember', 'Ember', 'guinea_pig', 'male', 1184, 940, 'backroom', 'Upper', 'smooth', 'red', { neutered: true, normals: ['grease_gland'] }],
  ['cinder', 'Cinder', 'guinea_pig', 'female', 1022, 1130, 'backroom', 'Upper', 'smooth', 'black', {}],
  ['flint', 'Flint', 'guinea_pig', 'male', 1131, 690, 'backroom', 'Lower', 'rosette', 'slate', { neutered: true }],
  ['kindle', 'Kindle', 'guinea_pig', 'female', 964, 720, 'backroom', 'Lower', 'smooth', 'gold', { normals: ['white_fluid'] }],
  ['tinder', 'Tinder', 'guinea_pig', 'female', 1043, 1510, 'backroom', 'Lower', 'long', 'brown', {}],
  // Marsh cottage: rabbits
  ['juniper', 'Juniper', 'rabbit', 'female', 2385, 1210, 'cottage', 'Parlour pen', 'short', 'chestnut', { neutered: true, normals: ['dewlap'] }],
  ['sorrel', 'Sorrel', 'rabbit', 'male', 2150, 1240, 'cottage', 'Parlour pen', 'short', 'sorrel', { neutered: true }],
  ['basil', 'Basil', 'rabbit', 'male', 1830, 420, 'cottage', 'Study pen', 'short', 'white and grey', {}],
  ['tansy', 'Tansy', 'rabbit', 'female', 1920, 760, 'cottage', 'Landing', 'lop', 'fawn', { neutered: true, normals: ['wax'] }],
  ['dill', 'Dill', 'rabbit', 'male', 1765, 780, 'cottage', 'Landing', 'lop', 'black', { neutered: true }],
  // Dunnock hallway: hamsters and gerbils
  ['marble', 'Marble', 'hamster_syrian', 'female', 142, 430, 'hallway', 'Shelf one', 'long', 'golden', {}],
  ['acorn', 'Acorn', 'hamster_syrian', 'male', 121, 390, 'hallway', 'Shelf two', 'short', 'cream', {}],
  ['conker', 'Conker', 'hamster_syrian', 'male', 133, 360, 'hallway', 'Shelf three', 'short', 'sable', {}],
  ['fidget', 'Fidget', 'gerbil', 'male', 88, 480, 'hallway', 'Deep tank', 'short', 'agouti', {}],
  ['jitter', 'Jitter', 'gerbil', 'male', 84, 480, 'hallway', 'Deep tank', 'short', 'black', {}],
  // Castell loft: chinchillas and degus
  ['pumice', 'Pumice', 'chinchilla', 'female', 612, 1900, 'loft', 'Tower', 'dense', 'standard grey', {}],
  ['basalt', 'Basalt', 'chinchilla', 'male', 548, 2200, 'loft', 'Tower', 'dense', 'ebony', { neutered: true }],
  ['opal', 'Opal', 'chinchilla', 'female', 574, 1100, 'loft', 'Side cage', 'dense', 'white', {}],
  ['rune', 'Rune', 'degu', 'male', 236, 900, 'loft', 'Ledge', 'short', 'agouti', {}],
  ['sigil', 'Sigil', 'degu', 'male', 221, 900, 'loft', 'Ledge', 'short', 'agouti', {}],
  ['glyph', 'Glyph', 'degu', 'male', 243, 870, 'loft', 'Ledge', 'short', 'agouti, pale belly', {}],
  // Vale parlour: the sow and, later, her three
  ['clover', 'Clover', 'guinea_pig', 'female', 972, 560, 'parlour', 'Fireside', 'smooth', 'brown and cream', { kind: 'stray', from: 'handed in by a postman' }],
  ['vetch', 'Vetch', 'guinea_pig', 'female', 1038, 830, 'parlour', 'Bookcase', 'smooth', 'white', {}],
  ['lupin', 'Lupin', 'guinea_pig', 'female', 925, 810, 'parlour', 'Bookcase', 'rosette', 'black and gold', {}],
  ['poppy', 'Poppy', 'guinea_pig', 'female', 940, 96, 'parlour', 'Fireside', 'smooth', 'ginger', { arrives: -93, kind: 'born_here', mother: 'Clover' }],
  ['teazle', 'Tuft', 'guinea_pig', 'male', 1060, 96, 'parlour', 'Fireside', 'smooth', 'brown', { arrives: -93, kind: 'born_here', mother: 'Clover' }],
  ['scrap', 'Scrap', 'guinea_pig', 'female', 905, 96, 'parlour', 'Fireside', 'smooth', 'cream', { arrives: -93, kind: 'born_here', mother: 'Clover' }],
  // Ibbotson stable: the forgotten bowl
  ['wicket', 'Wicket', 'guinea_pig', 'male', 1147, 700, 'stable', 'Box one', 'smooth', 'brown', { neutered: true }],
  ['bobbin', 'Bobbin', 'guinea_pig', 'male', 1092, 720, 'stable', 'Box one', 'smooth', 'cream', { neutered: true }],
  ['thimble', 'Thimble', 'guinea_pig', 'female', 951, 980, 'stable', 'Box two', 'long', 'tricolour', {}],
  ['ravel', 'Ravel', 'guinea_pig', 'female', 1019, 1020, 'stable', 'Box two', 'smooth', 'black', { normals: ['spur'] }],
  ['selvage', 'Selvage', 'guinea_pig', 'female', 983, 650, 'stable', 'Box two', 'smooth', 'white', {}],
  // Quarantine room: four from one flat, taken in three weeks ago
  ['pepper', 'Pepper', 'guinea_pig', 'male', 902, 600, 'quarantine', 'Crate 1', 'smooth', 'black and white', { arrives: -22, kind: 'seizure', from: 'a flat in Tanner Row, with the warrant of the day' }],
  ['salt', 'Salt', 'guinea_pig', 'male', 931, 600, 'quarantine', 'Crate 2', 'smooth', 'white', { arrives: -22, kind: 'seizure', from: 'a flat in Tanner Row, with the warrant of the day' }],
  ['clove', 'Clove', 'guinea_pig', 'female', 848, 540, 'quarantine', 'Crate 3', 'rosette', 'brown', { arrives: -22, kind: 'seizure', from: 'a flat in Tanner Row, with the warrant of the day' }],
  ['mace', 'Mace', 'rabbit', 'male', 1690, 700, 'quarantine', 'Crate 4', 'short', 'agouti', { arrives: -22, kind: 'seizure', from: 'a flat in Tanner Row, with the warrant of the day', chip: '276098500012043' }],
  // Tambling conservatory: the round that was missed
  ['quill', 'Quill', 'rabbit', 'female', 2060, 1400, 'conservatory', 'Bench', 'short', 'grey', { neutered: true, normals: ['dewlap'] }],
  ['parch', 'Parchment', 'rabbit', 'male', 2210, 1450, 'conservatory', 'Bench', 'short', 'cream', { neutered: true }],
  ['vellum', 'Vellum', 'rabbit', 'female', 1890, 980, 'conservatory', 'Window', 'lop', 'white', { neutered: true }],
].map(([key, name, species, sex, adult, age, home, pen, coat, markings, more]) => (
  { key, name, species, sex, adult, age, home, pen, coat, markings, normals: [], neutered: false, kind: 'surrender', ...more }));

// ---- the story ------------------------------------------------------------------------------------------------------
// Days are before `until`. A shape bends the true weight: `size` is its end in ln(weight); `shown` is what happens to
// the number alone. `found` says which alert must come, at least at which level, and when.

const shapes = {
  biscuit: [{ from: -63, over: 63, size: -0.115 }],
  juniper: [{ from: -104, over: 3, size: -0.12 }, { from: -99, over: 12, size: 0.115 }],
  ludo: [{ from: -126, over: 84, size: -0.125 }],
  basil: [{ from: -82, over: 4, size: -0.035 }, { from: -76, over: 18, size: 0.04 }],
  clover: [{ from: -150, over: 54, size: 0.42 }, { from: -96, over: 0.5, size: -0.36 }, { from: -90, over: 40, size: -0.03 }],
  fidget: [{ from: -5, over: 4, size: -0.125 }],
};
const stalls = { pip: { from: -25, rest: 0.06 } }; // from then on it gains this share of what it should

const signs = [
  { animal: 'biscuit', from: -56, to: -1, sign: 'selective', grade: 'slight' },
  { animal: 'biscuit', from: -35, to: -1, sign: 'drool', grade: 'slight' },
  { animal: 'juniper', from: -103, to: -103, sign: 'not_eating_12h', grade: 'marked' },
  { animal: 'juniper', from: -101, to: -96, sign: 'eating_less', grade: 'slight' },
  { animal: 'hazel', from: -143, to: -122, sign: 'lice_mites_mild', grade: 'slight' },
  { animal: 'teasel', from: -136, to: -122, sign: 'lice_mites_mild', grade: 'slight' },
  { animal: 'sedge', from: -136, to: -122, sign: 'lice_mites_mild', grade: 'marked' },
  { animal: 'burdock', from: -129, to: -115, sign: 'lice_mites_mild', grade: 'slight' },
  { animal: 'dot', from: -172, to: -1, sign: 'crusty_nipples', grade: 'slight' },
  { animal: 'pepper', from: -1, to: -1, sign: 'laboured', grade: 'marked' },
];

const extraChecks = [{ animal: 'juniper', day: -101, minute: 1090 }];

const careEvents = [
  { animal: 'clover', day: -150, event: 'pregnant', from: -150, to: -96 },
  { animal: 'clover', day: -96, event: 'gave_birth', from: -96, to: -96 },
  { animal: 'basil', day: -82, event: 'surgery', from: -82, to: -82 },
];

// Readings that went wrong: what the display or the hand made of a number.
const shown = {
  'maple/-42': (g) => ({ readings: [swapDigits(g)], note: 'in a hurry today' }),
};
const bowl = { home: 'stable', day: -59, grams: 212 };
const drift = { home: 'backroom', from: -74, to: -73, factor: 0.958 };
const scaleTests = [
  { home: 'kitchen', day: -182, minute: 1120, by: 'wren', mass: 1000, reading: 1000 },
  { home: 'backroom', day: -73, minute: 1110, by: 'pera', mass: 1000, reading: 958 },
  { home: 'backroom', day: -71, minute: 1095, by: 'pera', mass: 1000, reading: 1000 },
  { home: 'parlour', day: -30, minute: 1005, by: 'vale', mass: 1000, reading: 1001 },
];

const found = [
  { key: 'teeth', what: 'Biscuit goes off hay, then drools, and slims: cheek teeth', kind: ['dental'], animal: 'biscuit', least: 'vet_soon', from: -57, to: -20, course: 'vet_booked' },
  { key: 'stasis', what: 'Juniper has not eaten for half a day', kind: ['finding'], animal: 'juniper', least: 'emergency', from: -104, to: -102, course: 'ill' },
  { key: 'stasis weight', what: 'and lost a tenth in days', kind: ['loss'], animal: 'juniper', least: 'same_day', from: -104, to: -96, course: 'ill' },
  { key: 'mites', what: 'mites go round the Garden room', kind: ['spread'], home: 'garden', least: 'vet_soon', from: -137, to: -115, course: 'ill' },
  { key: 'scale', what: 'the back room\'s scale reads four per cent low', kind: ['scale'], scale: 'backroom', least: 'watch', from: -75, to: -72, course: 'measuring_error' },
  { key: 'old rat', what: 'Ludo slims slowly, too little a week for any weekly rule', kind: ['loss'], animal: 'ludo', least: 'vet_soon', from: -120, to: -44, course: 'ill' },
  { key: 'stall', what: 'Pip stops growing', kind: ['stall', 'loss'], animal: 'pip', least: 'watch', from: -21, to: -1, course: 'open' },
  { key: 'nipples', what: 'Dot has crusts on her nipples; a vet says they are usual for her', kind: ['finding'], animal: 'dot', least: 'vet_soon', from: -173, to: -165, course: 'known_normal' },
  { key: 'breath', what: 'Pepper breathes with an open mouth', kind: ['finding'], animal: 'pepper', least: 'emergency', from: -2, to: 0, course: 'open' },
  { key: 'gerbil', what: 'Fidget lost a ninth in a week', kind: ['loss'], animal: 'fidget', least: 'vet_soon', from: -2, to: 0, course: 'open' },
  { key: 'missed', what: 'nobody has weighed in the conservatory for sixteen days', kind: ['missed'], home: 'conservatory', least: 'watch', from: -9, to: 0, course: 'open' },
  ...['hazel', 'teasel', 'sedge', 'burdock'].map((animal, i) => (
    { key: `mites ${animal}`, what: 'mites on the animal itself', kind: ['finding'], animal, least: 'vet_soon', from: -144, to: -122 + (i === 3 ? 7 : 0), course: 'ill' })),
];

// Weighings that must be set aside as measuring errors, and the animals that must come through them unharmed.
const setAside = [
  { key: 'slip', what: 'Maple typed with two digits swapped', animals: ['maple'], day: -42 },
  { key: 'bowl', what: 'the bowl was not at zero in the stable', animals: ['wicket', 'bobbin', 'thimble', 'ravel', 'selvage'], day: -59 },
];

function swapDigits(grams) {
  const text = String(grams);
  return Number(text[0] + text[2] + text[1] + text.slice(3));
}

// ---- weights --------------------------------------------------------------------------------------------------------

function shapeAt(list, day) {
  let sum = 0;
  for (const s of list ?? []) {
    const share = s.over > 0 ? (day - s.from) / s.over : day >= s.from ? 1 : 0;
    sum += s.size * Math.min(1, Math.max(0, share));
  }
  return sum;
}

function growth(animal, day) {
  const { birth, k } = SPECIES[animal.species];
  const age = (at) => Math.max(0, animal.age + at);
  const c = (at) => -Math.log(animal.adult / birth) * Math.exp(-k * age(at));
  const stall = stalls[animal.key];
  if (!stall || day <= stall.from) return c(day);
  return c(stall.from) + stall.rest * (c(day) - c(stall.from));
}

// Draws the slow wave and the noise of one animal on its days, in order.
function weights(animal, days, seed) {
  const chance = stream(seed, animal.key, 'weight');
  const factor = chance.between(0.8, 1.2);
  const trend = chance.normal() * 0.0002;
  let wave = chance.normal() * 0.01;
  let last = days[0];
  return days.map((day) => {
    const keep = Math.exp(-(day - last) / 60);
    wave = wave * keep + chance.normal() * 0.01 * Math.sqrt(1 - keep * keep);
    last = day;
    const noise = chance.normal() * SPECIES[animal.species].gut * factor;
    const truth = Math.log(animal.adult) + growth(animal, day) + shapeAt(shapes[animal.key], day) + wave + trend * (day / 7 + WEEKS);
    return Math.exp(truth + noise);
  });
}

const quantise = (grams, step) => Number((Math.round(grams / step) * step).toFixed(1));

// ---- all together ---------------------------------------------------------------------------------------------------

export function makeNetwork({ seed = DEFAULT_SEED, until }) {
  const calendar = new Calendar(until);
  const at = (day, minute) => calendar.instant(day, minute);
  const id = (name, when = at(-7 * (WEEKS + 3), 0)) => uuid(`${seed}/${name}`, Date.parse(when));
  const home = Object.fromEntries(homes.map((h) => [h.key, { ...h, id: id(`home ${h.key}`), zone: ZONE }]));
  const scale = Object.fromEntries(homes.map((h) => [h.key, { id: id(`scale ${h.key}`), home: home[h.key].id, name: h.step < 1 ? 'letter scale' : 'kitchen scale', step: h.step, capacity: h.capacity }]));
  const pens = [];
  const penId = {};
  for (const a of animals) {
    const key = `${a.home}/${a.pen}`;
    if (!penId[key]) {
      penId[key] = id(`pen ${key}`);
      pens.push({ id: penId[key], home: home[a.home].id, name: a.pen });
    }
  }

  const firstDay = (h) => -(h.last + 7 * (WEEKS - 1));
  const timeline = [];
  const events = found.map((f) => ({ ...f }));
  const push = (day, minute, by, what, item) => timeline.push({ at: at(day, minute), by, what, ...item });

  // days on which each animal is weighed, and its true weights there
  const plan = animals.map((a) => {
    const h = home[a.home];
    const days = [];
    for (let week = WEEKS - 1; week >= 0; week--) {
      const day = -(h.last + 7 * week);
      if (day < (a.arrives ?? firstDay(h))) continue;
      days.push(day);
    }
    if (a.arrives && !days.includes(a.arrives)) days.unshift(a.arrives);
    const extra = extraChecks.filter((e) => e.animal === a.key);
    for (const e of extra) days.push(e.day);
    days.sort((x, y) => x - y);
    const grams = weights(a, days, seed);
    const order = animals.filter((b) => b.home === a.home).indexOf(a);
    return { a, h, days, grams, order, extra };
  });
  for (const { a, h, days, grams, order, extra } of plan) {
    const chance = stream(seed, a.key, 'findings');
    const animal = id(`animal ${a.key}`);
    const regions = REGIONS;

    // chance findings: one draw a check and sign, each stays for one to three checks
    const background = [];
    for (const [sign, region, rate] of BACKGROUND[a.species] ?? []) {
      for (let i = 1; i < days.length; i++) {
        const kept = chance.uniform() < (rate * 7) / 365;
        const length = 1 + Math.floor(chance.uniform() * 3);
        // The story's own animals have enough to bear, and a baby's nails are short.
        if (!kept || signs.some((s) => s.animal === a.key) || shapes[a.key] || stalls[a.key] || a.age < 200) continue;
        const stays = days.slice(i, i + length);
        background.push({ sign, region, from: stays[0], to: stays[stays.length - 1], grade: 'slight' });
        if (!MINOR.has(sign)) {
          const kind = region === 'teeth' ? ['finding', 'dental'] : ['finding'];
          events.push({ key: `${sign} ${a.key}`, what: `${a.name}: a finding of its own`, kind, animal: a.key, least: 'vet_soon', from: stays[0] - 1, to: stays[0] + 1, course: 'ill', chance: true });
        }
        i += length + 3;
      }
    }

    days.forEach((day, i) => {
      const baseline = i === 0;
      const isExtra = extra.some((e) => e.day === day);
      const minute = isExtra ? extra[0].minute : h.minute + order * 4 + Math.floor(chance.uniform() * 2);
      const when = at(day, minute);
      const findings = [];
      const note = (sign, grade) => findings.push({ sign, grade });
      for (const s of signs) if (s.animal === a.key && day >= s.from && day <= s.to) note(s.sign, s.grade);
      for (const s of background) if (day >= s.from && day <= s.to) note(s.sign, s.grade);
      for (const n of a.normals) if (chance.uniform() < 0.8) note(n, 'slight');

      const answers = {};
      for (const r of regions) answers[r] = chance.uniform() < 0.012 ? 'not_looked_at' : 'as_usual';
      for (const f of findings) answers[REGION_OF[f.sign] ?? background.find((b) => b.sign === f.sign).region] = 'findings';

      let truth = grams[i];
      let text = null;
      if (h.key === drift.home && day >= drift.from && day <= drift.to) truth *= drift.factor;
      const offset = h.key === bowl.home && day === bowl.day ? bowl.grams : 0;
      let readings = [quantise(truth + offset, h.step)];
      const odd = shown[`${a.key}/${day}`];
      if (odd) {
        ({ readings, note: text } = odd(readings[0]));
      } else if (!offset && surprising(a, grams, i)) {
        // The form asks for a second reading when a number surprises; people take it, and it agrees to a few grams.
        readings.push(quantise(truth * (1 + 0.003 * chance.normal()), h.step));
      }
      const check = {
        id: id(`check ${a.key} ${day}`, when),
        body: {
          ...(baseline ? {} : { animal, home: h.id, kind: isExtra ? 'extra' : 'weekly' }),
          at: when,
          minutes: 2 + Math.floor(chance.uniform() * 3),
          answers,
          findings,
          weighing: { scale: scale[a.home].id, readings, zeroed: true, confirmed: readings.length > 1 },
          ...(text ? { note: text } : {}),
        },
      };
      if (!baseline) {
        push(day, minute, h.who, 'check', { animal: a.key, ...check });
        return;
      }
      const arrival = {
        id: id(`arrival ${a.key}`, when),
        body: {
          kind: a.kind, at: when,
          ...(a.from ? { from: a.from } : {}),
          ...(a.mother ? { note: `one of ${a.mother}'s three` } : {}),
          home: h.id, pen: penId[`${a.home}/${a.pen}`],
          animal: {
            id: animal, name: a.name, species: a.species, sex: a.sex, neutered: a.neutered,
            birth: calendar.date(-a.age), birth_precision: a.kind === 'born_here' ? 'day' : 'month',
            coat: a.coat, markings: a.markings, ...(a.chip ? { chip: a.chip } : {}),
          },
          baseline: { id: check.id, ...check.body },
        },
      };
      push(day, minute, 'intake', 'arrival', { animal: a.key, ...arrival });
      a.normals.forEach((sign, n) => push(day, minute + 1, h.who, 'known_normal', {
        animal: a.key, id: id(`normal ${a.key} ${n}`, when), animal_id: animal, body: { sign, up_to: 'slight', said_by: 'seen at intake' },
      }));
    });
  }

  for (const e of careEvents) {
    const a = animals.find((b) => b.key === e.animal);
    push(e.day, 1290, home[a.home].who, 'event', {
      animal: a.key, id: id(`event ${e.animal} ${e.event}`, at(e.day, 1290)), animal_id: id(`animal ${a.key}`),
      body: { event: e.event, from: calendar.date(e.from), to: calendar.date(e.to) },
    });
  }
  push(-166, 660, 'coordinator', 'known_normal', {
    animal: 'dot', id: id('normal dot vet'), animal_id: id('animal dot'),
    body: { sign: 'crusty_nipples', up_to: 'slight', said_by: 'the vet at Mill Lane, after a scan', vet_confirmed: true },
  });
  for (const t of scaleTests) {
    push(t.day, t.minute, t.by, 'scale_test', { id: id(`test ${t.home} ${t.day}`), home: t.home, body: { scale: scale[t.home].id, at: at(t.day, t.minute), mass: t.mass, reading: t.reading } });
  }
  timeline.sort((x, y) => Date.parse(x.at) - Date.parse(y.at) || (x.id < y.id ? -1 : 1));

  const touched = new Set(events.filter((e) => e.animal).map((e) => e.animal));
  return {
    seed, until,
    network: { name: 'Fennmarsh small animal network (demo)', zone: ZONE },
    people,
    homes: Object.values(home).map((h) => ({ id: h.id, key: h.key, name: h.name, kind: h.kind, zone: h.zone, who: h.who, from: at(firstDay(h) - 1, 0) })),
    pens,
    scales: homes.map((h) => ({ key: h.key, ...scale[h.key] })),
    animals: animals.map((a) => ({ ...a, id: id(`animal ${a.key}`), home_id: home[a.home].id })),
    timeline,
    events: events.map((e) => ({ ...e, from_date: calendar.date(e.from), to_date: calendar.date(e.to) })),
    setAside: setAside.map((s) => ({ ...s, date: calendar.date(s.day) })),
    quiet: animals.map((a) => a.key).filter((key) => !touched.has(key)),
    day: (n) => calendar.date(n),
    instant: at,
  };
}

// More than 4 % under the mean of the last four: roughly what the form asks about.
function surprising(animal, grams, i) {
  if (i < 1) return false;
  const before = grams.slice(Math.max(0, i - 4), i);
  const mean = before.reduce((x, y) => x + y, 0) / before.length;
  return Math.abs(grams[i] / mean - 1) > 0.04 && animal.age > 200;
}

// The weighings as input of `gramwell assess`, for trying other seeds without a server.
export function weighingsCsv(n) {
  const rows = ['animal,at,grams,species,sex,birth,arrived,home,scale,step,second,signs'];
  const by = Object.fromEntries(n.animals.map((a) => [a.key, a]));
  for (const t of n.timeline) {
    if (t.what !== 'check' && t.what !== 'arrival') continue;
    const a = by[t.animal];
    const body = t.what === 'arrival' ? t.body.baseline : t.body;
    const [first, second] = body.weighing.readings;
    const mouth = body.findings.map((f) => f.sign).filter((s) => REGION_OF[s] === 'teeth').join(';');
    rows.push([t.animal, body.at, first, a.species, a.sex, n.day(-a.age), a.arrives ? n.day(a.arrives) : '', a.home, a.home, body.weighing.scale && n.scales.find((s) => s.key === a.home).step, second ?? '', mouth].join(','));
  }
  return `${rows.join('\n')}\n`;
}

export function eventsCsv(n) {
  return `animal,event,from,to\n${n.timeline.filter((t) => t.what === 'event').map((t) => [t.animal, t.body.event, t.body.from, t.body.to].join(',')).join('\n')}\n`;
}

export function today(now = new Date()) {
  return new Intl.DateTimeFormat('sv-SE', { timeZone: ZONE }).format(now);
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const option = (name) => (process.argv.includes(name) ? process.argv[process.argv.indexOf(name) + 1] : undefined);
  const signIns = ['volunteer', 'intake', 'coordinator'].map((role) => people.find((p) => p.role === role));
  const n = makeNetwork({ seed: Number(option('--seed') ?? DEFAULT_SEED), until: option('--until') ?? today() });
  if (process.argv.includes('--accounts')) process.stdout.write(signIns.map((p) => `${p.role}\t${p.email}\t${p.passphrase}\n`).join(''));
  else if (process.argv.includes('--csv')) process.stdout.write(weighingsCsv(n));
  else if (process.argv.includes('--events')) process.stdout.write(eventsCsv(n));
  else process.stdout.write(`${JSON.stringify(n, null, 1)}\n`);
}
