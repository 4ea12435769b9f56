// The shapes of the HTTP interface, as clients/api/openapi.json describes them.

export type Level = 'steady' | 'watch' | 'vet_soon' | 'same_day' | 'emergency';
export type Kind = 'none' | 'loss' | 'stall' | 'gain' | 'dental' | 'finding' | 'spread' | 'scale' | 'missed';
export type Role = 'volunteer' | 'intake' | 'coordinator';
export type Grade = 'slight' | 'marked';
export type Side = 'left' | 'right' | 'both';
export type Answer = 'as_usual' | 'not_looked_at' | 'findings';
export type CheckKind = 'weekly' | 'extra' | 'weigh_only' | 'baseline';
export type Outcome = 'ill' | 'injured' | 'benign' | 'known_normal' | 'measuring_error' | 'pregnant' | 'died' | 'other';
export type Step = 'taken' | 'reweigh_asked' | 'vet_booked' | 'vet_seen' | 'watching' | 'settled' | 'reopened' | 'note';

export interface Named {
  id: string;
  name: string;
}

export interface Phone {
  name: string;
  number: string;
  when?: string | null;
}

export interface Me {
  person: { id: string; name: string; email: string; role: Role };
  homes: { id: string; name: string; kind: string; zone: string }[];
  network: { name: string; zone: string; phones: Phone[] };
  expires_at: string;
}

export interface Region {
  code: string;
  position: number;
  name: string;
}

export interface Species {
  code: string;
  name: string;
  regions?: string[] | null;
  adult_low: number;
  adult_high: number;
  step: number;
  entry_low?: number;
  entry_high?: number;
  female?: string;
  male?: string;
  young?: string;
}

export interface Sign {
  code: string;
  region: string;
  species: string[] | null;
  level: Level;
  words: string;
  hint: string | null;
  group: string | null;
  vet_only_normal: boolean;
  usual: boolean;
}

export interface Catalogue {
  version: string | number;
  regions: Region[];
  species: Species[];
  signs: Sign[];
  groups?: { code: string; name: string; window_days: number | null; to_people: boolean; caution: string | null }[];
}

export interface Finding {
  sign: string;
  grade: Grade;
  side?: Side | null;
  note?: string | null;
  /** A known normal up to this grade: it raises nothing. */
  usual?: boolean;
}

export interface Verdict {
  level: Level;
  kind: Kind;
  quality: 'plain' | 'reweigh' | 'set_aside';
  expected: number | null;
  low: number | null;
  high: number | null;
  own_level: number | null;
  change_grams: number | null;
  change_pct: number | null;
  week_grams: number | null;
  week_pct: number | null;
  slope_pct_week: number | null;
  slope_low: number | null;
  slope_high: number | null;
  weeks_of_fall: number | null;
  pattern?: string | null;
  error_share: number | null;
  mouth_log_odds: number | null;
  log_odds: number | null;
  sd: number | null;
  reasons: string[];
  ask_second: boolean;
}

export interface WeighingIn {
  scale: string;
  readings: number[];
  zeroed: boolean;
  confirmed: boolean;
}

export interface CheckIn {
  animal: string;
  home: string;
  kind: CheckKind;
  at: string;
  minutes?: number;
  answers: Record<string, Answer>;
  findings: Finding[];
  weighing: WeighingIn | null;
  note?: string;
}

export interface Check {
  id: string;
  animal: string;
  home: string;
  kind: CheckKind;
  at: string;
  minutes: number | null;
  person: Named | null;
  answers: Record<string, Answer>;
  findings: Finding[];
  weighing: { scale: string; readings: number[]; grams: number; confirmed: boolean } | null;
  verdict: Verdict | null;
  note: string | null;
  received_at: string | null;
  late: boolean;
}

export interface CheckAnswer {
  check: Check;
  level: Level;
  alerts: { id: string; kind: Kind; level: Level; state: string }[];
}

/** One weighing of an animal's series, for charts and for the engine on the phone. */
export interface Weighed {
  check: string;
  at: string;
  grams: number;
  second: number | null;
  scale: string | null;
  step: number | null;
  confirmed: boolean;
  mouth_looked: number;
  mouth_seen: number;
  quality: 'plain' | 'reweigh' | 'set_aside' | null;
  level: Level | null;
  kind: Kind | null;
  expected: number | null;
  low: number | null;
  high: number | null;
  own_level: number | null;
  sd?: number | null;
  change_pct: number | null;
  reasons: string[];
  set_aside_by_session: boolean;
}

export interface AnimalSummary {
  id: string;
  tag: string;
  name: string;
  species: string;
  sex: string;
  stage: string | null;
  birth: string | null;
  coat: string | null;
  markings: string | null;
  status: string;
  home: string | null;
  home_name: string | null;
  pen: string | null;
  pen_name: string | null;
  level: Level | null;
  due_on: string | null;
  last: { at: string; grams: number } | null;
}

export interface KnownNormal {
  id: string;
  sign: string;
  up_to: Grade;
  vet_confirmed: boolean;
  said_by?: string | Named | null;
}

export interface EventPeriod {
  id?: string;
  event: string;
  from: string;
  to: string | null;
}

export interface RoundAnimal extends AnimalSummary {
  arrived: string | null;
  check_every_days: number;
  adult_grams?: number | null;
  known_normals: KnownNormal[];
  events: EventPeriod[];
  open_alerts: { id: string; kind: Kind; level: Level; state: string; reasons: string[] }[];
  last_check: Check | null;
  weighings: Weighed[];
  done_today: boolean;
}

export interface Scale {
  id: string;
  home: string;
  home_name?: string | null;
  name: string;
  step: number;
  capacity: number;
  last_test: { at: string; mass: number; reading: number; passed: boolean } | null;
}

export interface RoundHome {
  id: string;
  name: string;
  kind: string;
  zone: string;
  cover: boolean;
  scales: Scale[];
  pens: { id: string | null; name: string | null; animals: RoundAnimal[] }[];
}

export interface Round {
  as_of: string;
  homes: RoundHome[];
}

export interface AlertAnimal {
  id: string;
  name: string;
  tag: string;
  species: string;
  sex: string;
  pen_name: string | null;
  coat?: string | null;
  markings?: string | null;
  birth?: string | null;
  stage?: string | null;
}

export interface Alert {
  id: string;
  kind: Kind;
  level: Level;
  state: 'waiting' | 'in_hand' | 'settled';
  animal: AlertAnimal | null;
  home: Named | null;
  scale: Named | null;
  sign_group: string | null;
  opened_at: string;
  raised_at: string;
  recorded_at: string;
  late: boolean;
  was_level: Level | null;
  taken_by: Named | null;
  due_at: string | null;
  limit_hours: number | null;
  outcome: Outcome | null;
  settled_at: string | null;
  version: number;
  reasons: string[];
  facts: Facts;
  signs: string[];
  spark: number[];
}

/** Numbers behind an alert: those of the verdict, of a count, of a scale. All may be missing. */
export type Facts = Record<string, number | string | boolean | null | undefined>;

export interface AlertStep {
  id: string;
  step: Step;
  at: string;
  person: Named | null;
  outcome?: Outcome | null;
  note?: string | null;
  due_at?: string | null;
}

export interface Evidence {
  check: string | null;
  at: string;
  level: Level;
  kind: Kind;
  signs?: string[] | null;
  reasons?: string[] | null;
  grams?: number | null;
  recorded_at?: string | null;
  person?: Named | null;
  animal?: Named | null;
}

export interface AlertPage {
  alert: Alert;
  evidence: Evidence[];
  steps: AlertStep[];
  series: Weighed[];
  checks?: Pick<Check, 'id' | 'at' | 'kind' | 'answers' | 'findings' | 'note' | 'person'>[];
  mates?: { id: string; name: string; grams: number | null; level: Level | null; spark: number[] | null }[];
  last_test?: {
    scale: string;
    name: string;
    at: string | null;
    mass: number | null;
    reading: number | null;
    passed: boolean | null;
  } | null;
  earlier?: {
    id: string;
    kind: Kind;
    level: Level;
    opened_at: string;
    outcome: Outcome | null;
    settled_at: string | null;
    signs: string[];
  }[];
}

export interface AnimalFull extends AnimalSummary {
  neutered: boolean | null;
  birth_precision: string | null;
  chip: string | null;
  note: string | null;
  arrived?: string | null;
  check_every_days?: number | null;
}

export interface Stay {
  id?: string;
  home: string | Named;
  home_name?: string | null;
  pen?: string | null;
  pen_name?: string | null;
  from: string;
  to: string | null;
}

export interface AnimalPage {
  animal: AnimalFull;
  /** For intake and coordinators: how it came. */
  arrival?: { kind: string; at: string; from: string | null; note: string | null } | null;
  known_normals: KnownNormal[];
  events: EventPeriod[];
  open_alerts: { id: string; kind: Kind; level: Level; state: string; reasons: string[] }[];
  stays: Stay[];
}

export interface HomeSummary {
  id: string;
  name: string;
  kind: string;
  zone: string;
  animals: number;
  worst_level: Level | null;
  people: Named[];
}

export interface HomePage {
  home: { id: string; name: string; kind: string; zone: string; note: string | null };
  people: (Named & { role?: Role; from?: string; to?: string | null; cover?: boolean })[];
  pens: { id: string | null; name: string | null; animals: AnimalSummary[] }[];
  scales: Scale[];
}

export interface HomeFindings {
  home: string;
  weeks: string[];
  regions: {
    region: string;
    cells: { week: string; looked: number; found: number; marked: number; expected: number | null }[];
  }[];
  strokes: { week: string; region: string; animal: string; name: string; sign: string; grade: Grade; check: string }[];
}

export interface ScalePage extends Scale {
  tests: { id: string; at: string; mass: number; reading: number; passed: boolean; allowed_error?: number | null }[];
  /** How all animals weighed together moved against what was expected of them. */
  sessions?: {
    from: string;
    to: string;
    animals: number;
    used: number;
    shift_pct: number | null;
    scale_shift: boolean;
  }[];
}

export interface PersonRow {
  id: string;
  name: string;
  email: string;
  role: Role;
  homes: Named[];
  invited: boolean;
}

export interface Problem {
  title: string;
  status: number;
  detail?: string;
  errors?: { pointer: string; detail: string; hint?: string }[];
}

export const LEVELS: readonly Level[] = ['steady', 'watch', 'vet_soon', 'same_day', 'emergency'];

export function levelRank(level: Level | null | undefined): number {
  return level ? LEVELS.indexOf(level) : -1;
}

export function worstLevel(levels: readonly (Level | null | undefined)[]): Level {
  return levels.reduce<Level>(
    (worst, level) => (level && levelRank(level) > levelRank(worst) ? level : worst),
    'steady',
  );
}
