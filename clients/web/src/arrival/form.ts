// One arrival as it is typed, and the body that goes to the server. No DOM.
import type { Answer, Catalogue, Finding } from '../api/types';
import { regionsOf } from '../check/draft';
import { readGrams } from '../text/reading';
import { readChip } from './chip';

export interface ArrivalDraft {
  id: string;
  animal: string;
  check: string;
  kind: string;
  at: string;
  from: string;
  note: string;
  home: string;
  pen: string;
  name: string;
  species: string;
  sex: string;
  neutered: '' | 'yes' | 'no';
  birth: string;
  birth_precision: string;
  stage: string;
  coat: string;
  markings: string;
  chip: string;
  animal_note: string;
  answers: Record<string, Answer>;
  findings: Finding[];
  scale: string;
  zeroed: boolean;
  readings: [string, string, string];
  /** The person said: these numbers are right. */
  confirmed: boolean;
}

export type Faults = Partial<Record<string, string>>;

export function emptyArrival(ids: () => string, at: string): ArrivalDraft {
  return {
    id: ids(),
    animal: ids(),
    check: ids(),
    kind: 'surrender',
    at,
    from: '',
    note: '',
    home: '',
    pen: '',
    name: '',
    species: 'guinea_pig',
    sex: 'unknown',
    neutered: '',
    birth: '',
    birth_precision: 'guess',
    stage: 'adult',
    coat: '',
    markings: '',
    chip: '',
    animal_note: '',
    answers: {},
    findings: [],
    scale: '',
    zeroed: false,
    readings: ['', '', ''],
    confirmed: false,
  };
}

/** The next of the same arrival: who brought it, where it goes and what it is stay; the animal is a new one. */
export function nextOf(draft: ArrivalDraft, ids: () => string): ArrivalDraft {
  const { kind, at, from, note, home, pen, species, scale, zeroed } = draft;
  return { ...emptyArrival(ids, at), kind, from, note, home, pen, species, scale, zeroed };
}

export function faultsOf(draft: ArrivalDraft, catalogue: Catalogue, say: (key: string) => string): Faults {
  const faults: Faults = {};
  if (draft.name.trim() === '') faults['/animal/name'] = say('name');
  if (draft.home === '') faults['/home'] = say('home');
  if (draft.at === '') faults['/at'] = say('at');
  const chip = readChip(draft.chip);
  if (chip.is === 'wrong') faults['/animal/chip'] = say(`chip_${chip.why}`);
  const open = regionsOf(catalogue, draft.species).filter(({ code }) => draft.answers[code] === undefined);
  if (open.length > 0) faults['/baseline/answers'] = open.map((region) => region.name).join(', ');
  const typed = draft.readings.filter((reading) => reading.trim() !== '');
  for (const [at, reading] of draft.readings.entries()) {
    if (reading.trim() === '') continue;
    const read = readGrams(reading, 0.1);
    if (!read.ok) faults[`/baseline/weighing/readings/${at}`] = read.say;
  }
  if (typed.length > 0 && draft.scale === '') faults['/baseline/weighing/scale'] = say('scale');
  return faults;
}

/** Opening time of the check in the home's day: the arrival's own moment. */
export function bodyOf(draft: ArrivalDraft, at: Date): Record<string, unknown> {
  const text = (value: string) => (value.trim() === '' ? undefined : value.trim());
  const chip = readChip(draft.chip);
  const readings = draft.readings.flatMap((reading) => {
    const read = readGrams(reading, 0.1);
    return read.ok ? [read.grams] : [];
  });
  const strip = (object: Record<string, unknown>) =>
    Object.fromEntries(Object.entries(object).filter(([, value]) => value !== undefined));
  return strip({
    kind: draft.kind,
    at: at.toISOString(),
    from: text(draft.from),
    note: text(draft.note),
    home: draft.home,
    pen: draft.pen || undefined,
    animal: strip({
      id: draft.animal,
      name: draft.name.trim(),
      species: draft.species,
      sex: draft.sex,
      neutered: draft.neutered === '' ? undefined : draft.neutered === 'yes',
      birth: draft.birth || undefined,
      birth_precision: draft.birth ? draft.birth_precision : undefined,
      stage: draft.stage,
      coat: text(draft.coat),
      markings: text(draft.markings),
      chip: chip.is === 'iso' || chip.is === 'older' ? chip.chip : undefined,
      note: text(draft.animal_note),
    }),
    baseline: {
      id: draft.check,
      at: at.toISOString(),
      answers: draft.answers,
      findings: draft.findings,
      weighing:
        readings.length > 0 ? { scale: draft.scale, readings, zeroed: draft.zeroed, confirmed: draft.confirmed } : null,
    },
  });
}
