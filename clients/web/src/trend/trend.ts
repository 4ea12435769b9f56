// The trend engine on the phone: loads trend.wasm and gives it plain objects. The numbers and words are the server's
// own, for both run the same C source. The order of the fields is that of server/trend/wasm/glue.c.

export type Level = 'steady' | 'watch' | 'vet_soon' | 'same_day' | 'emergency';
export type Kind = 'none' | 'loss' | 'stall' | 'gain' | 'dental' | 'scale' | 'finding' | 'spread' | 'missed';
export type Quality = 'plain' | 'reweigh' | 'set_aside';
export type Pattern = 'none' | 'acute' | 'subacute' | 'chronic' | 'stall';

export interface Subject {
  species: string;
  sex: string;
  stage: string;
  /** YYYY-MM-DD */
  birth: string | null;
  /** YYYY-MM-DD */
  arrived: string | null;
  adultGrams?: number | null;
  /** Added to the log odds of illness, -1.5 to 1.5. */
  sensitivity?: number;
  events: { event: string; from: string; to: string | null }[];
}

export interface Weighing {
  /** RFC 3339 */
  at: string;
  grams: number;
  second: number | null;
  step: number | null;
  scale: string | null;
  confirmed: boolean;
  setAside: boolean;
  /** Bits: 1 teeth, 2 chin, 4 food. */
  mouthLooked: number;
  mouthSeen: number;
}

/** What the engine says of one weighing; the members of the verdict of the HTTP API. null: not known yet. */
export interface Verdict {
  level: Level;
  kind: Kind;
  quality: Quality;
  pattern: Pattern;
  expected: number | null;
  low: number | null;
  high: number | null;
  sd: number | null;
  own_level: number | null;
  change_grams: number | null;
  change_pct: number | null;
  week_grams: number | null;
  week_pct: number | null;
  slope_pct_week: number | null;
  slope_low: number | null;
  slope_high: number | null;
  weeks_of_fall: number | null;
  log_odds: number | null;
  mouth_log_odds: number | null;
  error_share: number | null;
  reasons: string[];
  ask_second: boolean;
}

export interface SessionItem {
  grams: number;
  verdict: Verdict;
  confirmed: boolean;
  species: string;
}

export interface Session {
  /** In the order of the items. */
  verdicts: Verdict[];
  shift_pct: number | null;
  shift_low: number | null;
  shift_high: number | null;
  scale_shift: boolean;
  tare_grams: number;
  tare_share: number;
  n_used: number;
}

export interface Trend {
  /** Verdicts on the weighings first .. end (all of them when first is left out), each knowing only those before it. */
  assess(subject: Subject, weighings: Weighing[], first?: number): Verdict[];
  /** The weighings of one session on one scale, worked over together. */
  session(items: SessionItem[]): Session;
}

/** A value that the engine refuses, with its index; the page should have asked for it again. */
export class TrendError extends Error {
  constructor(
    readonly reason: string,
    readonly index: number,
  ) {
    super(`trend: ${reason} at ${index}`);
    this.name = 'TrendError';
  }
}

interface Exports {
  memory: WebAssembly.Memory;
  tr_subject(): number;
  tr_events(): number;
  tr_weighings(): number;
  tr_verdicts(): number;
  tr_items(): number;
  tr_session_out(): number;
  tr_at(): number;
  tr_name(list: number, value: number): number;
  tr_assess(events: number, n: number, first: number): number;
  tr_session(n: number): number;
}

const STATUS = ['ok', 'weight', 'time', 'species', 'event', 'step', 'option', 'too_few'];
/** Numbers of a verdict, in the order of the glue, before level, kind, quality, pattern, reasons and ask_second. */
const NUMBERS = [
  'expected',
  'low',
  'high',
  'sd',
  'own_level',
  'change_grams',
  'change_pct',
  'week_grams',
  'week_pct',
  'slope_pct_week',
  'slope_low',
  'slope_high',
  'weeks_of_fall',
  'log_odds',
  'mouth_log_odds',
  'error_share',
] as const;
const VERDICT_FIELDS = NUMBERS.length + 6;
const ITEM_FIELDS = 3 + VERDICT_FIELDS;
const MOST_WEIGHINGS = 256;
const MOST_EVENTS = 64;
const MOST_ITEMS = 128;
/** A verdict looks back this many weighings: GW_WINDOW of the engine. */
const WINDOW = 60;
const CONFIRMED = 1;
const SET_ASIDE = 2;

/** Days since 1970-01-01T00:00Z of a date or a date and time. */
function day(text: string): number {
  const ms = Date.parse(text);
  if (Number.isNaN(ms)) throw new RangeError(`trend: "${text}" is no date`);
  return ms / 86400000;
}

const orNaN = (value: number | null | undefined): number => value ?? NaN;
const dayOrNaN = (text: string | null): number => (text === null ? NaN : day(text));
const orNull = (value: number | undefined): number | null =>
  value !== undefined && Number.isFinite(value) ? value : null;

/** The names of one list, as the engine has them. */
function namesOf(x: Exports, list: number): string[] {
  const names: string[] = [];
  const decoder = new TextDecoder();
  for (let i = 0; ; i++) {
    const at = x.tr_name(list, i);
    if (at === 0) return names;
    const bytes = new Uint8Array(x.memory.buffer, at);
    names.push(decoder.decode(bytes.subarray(0, bytes.indexOf(0))));
  }
}

class Engine implements Trend {
  private readonly levels: string[];
  private readonly kinds: string[];
  private readonly qualities: string[];
  private readonly patterns: string[];
  private readonly reasons: string[];
  private readonly species: string[];
  private readonly sexes: string[];
  private readonly stages: string[];
  private readonly events: string[];

  constructor(private readonly x: Exports) {
    this.levels = namesOf(x, 0);
    this.kinds = namesOf(x, 1);
    this.qualities = namesOf(x, 2);
    this.patterns = namesOf(x, 3);
    this.reasons = namesOf(x, 4);
    this.species = namesOf(x, 5);
    this.sexes = namesOf(x, 6);
    this.stages = namesOf(x, 7);
    this.events = namesOf(x, 8);
  }

  assess(subject: Subject, weighings: Weighing[], first = 0): Verdict[] {
    this.putSubject(subject);
    const scales = new Map<string, number>();
    const numbers = weighings.map((w) => this.weighingFields(w, scales));
    const verdicts: Verdict[] = [];
    // Longer series go in pieces; each piece begins a window before the first verdict that it gives.
    for (let from = first; from < weighings.length; ) {
      const start = Math.max(0, from - WINDOW + 1);
      const end = Math.min(weighings.length, start + MOST_WEIGHINGS);
      verdicts.push(...this.assessPiece(subject.events.length, numbers.slice(start, end), from - start, start));
      from = end;
    }
    return verdicts;
  }

  session(items: SessionItem[]): Session {
    if (items.length > MOST_ITEMS) throw new TrendError('option', MOST_ITEMS);
    const fields = this.view(this.x.tr_items(), items.length * ITEM_FIELDS);
    items.forEach((item, i) => {
      const flags = item.confirmed ? CONFIRMED : 0;
      fields.set([item.grams, flags, this.species.indexOf(item.species)], i * ITEM_FIELDS);
      fields.set(this.verdictFields(item.verdict), i * ITEM_FIELDS + 3);
    });
    this.check(this.x.tr_session(items.length), 0);
    const worked = this.view(this.x.tr_items(), items.length * ITEM_FIELDS);
    const s = this.view(this.x.tr_session_out(), 7);
    return {
      verdicts: items.map((_, i) => this.verdict(worked, i * ITEM_FIELDS + 3)),
      shift_pct: orNull(s[0]),
      shift_low: orNull(s[1]),
      shift_high: orNull(s[2]),
      tare_grams: s[3] ?? 0,
      tare_share: s[4] ?? 0,
      scale_shift: s[5] === 1,
      n_used: s[6] ?? 0,
    };
  }

  /** A view of the engine's memory, made anew for each use. */
  private view(at: number, length: number): Float64Array {
    return new Float64Array(this.x.memory.buffer, at, length);
  }

  private check(status: number, start: number): void {
    if (status !== 0) throw new TrendError(STATUS[status] ?? 'option', start + this.x.tr_at());
  }

  private index(list: string[], name: string, what: string): number {
    const value = list.indexOf(name);
    if (value < 0) throw new RangeError(`trend: unknown ${what} "${name}"`);
    return value;
  }

  private putSubject(s: Subject): void {
    if (s.events.length > MOST_EVENTS) throw new TrendError('event', MOST_EVENTS);
    this.view(this.x.tr_subject(), 7).set([
      dayOrNaN(s.birth),
      dayOrNaN(s.arrived),
      orNaN(s.adultGrams),
      s.sensitivity ?? 0,
      this.species.indexOf(s.species), // -1: unknown, judged by per cent alone
      this.index(this.sexes, s.sex, 'sex'),
      this.index(this.stages, s.stage, 'stage'),
    ]);
    const events = this.view(this.x.tr_events(), s.events.length * 3);
    s.events.forEach((e, i) => {
      events.set([day(e.from), dayOrNaN(e.to), this.index(this.events, e.event, 'event')], i * 3);
    });
  }

  private weighingFields(w: Weighing, scales: Map<string, number>): number[] {
    let scale = -1;
    if (w.scale !== null) {
      scale = scales.get(w.scale) ?? scales.size;
      scales.set(w.scale, scale);
    }
    const flags = (w.confirmed ? CONFIRMED : 0) | (w.setAside ? SET_ASIDE : 0);
    return [day(w.at), w.grams, orNaN(w.second), orNaN(w.step), scale, flags, w.mouthLooked, w.mouthSeen];
  }

  private assessPiece(events: number, numbers: number[][], first: number, start: number): Verdict[] {
    const fields = this.view(this.x.tr_weighings(), numbers.length * 8);
    for (const [i, w] of numbers.entries()) fields.set(w, i * 8);
    this.check(this.x.tr_assess(events, numbers.length, first), start);
    const count = numbers.length - first;
    const out = this.view(this.x.tr_verdicts(), count * VERDICT_FIELDS);
    return Array.from({ length: count }, (_, i) => this.verdict(out, i * VERDICT_FIELDS));
  }

  private verdict(fields: Float64Array, at: number): Verdict {
    const n = at + NUMBERS.length;
    const bits = fields[n + 4] ?? 0;
    return {
      level: this.levels[fields[n] ?? -1] as Level,
      kind: this.kinds[fields[n + 1] ?? -1] as Kind,
      quality: this.qualities[fields[n + 2] ?? -1] as Quality,
      pattern: this.patterns[fields[n + 3] ?? -1] as Pattern,
      expected: orNull(fields[at]),
      low: orNull(fields[at + 1]),
      high: orNull(fields[at + 2]),
      sd: orNull(fields[at + 3]),
      own_level: orNull(fields[at + 4]),
      change_grams: orNull(fields[at + 5]),
      change_pct: orNull(fields[at + 6]),
      week_grams: orNull(fields[at + 7]),
      week_pct: orNull(fields[at + 8]),
      slope_pct_week: orNull(fields[at + 9]),
      slope_low: orNull(fields[at + 10]),
      slope_high: orNull(fields[at + 11]),
      weeks_of_fall: orNull(fields[at + 12]),
      log_odds: orNull(fields[at + 13]),
      mouth_log_odds: orNull(fields[at + 14]),
      error_share: orNull(fields[at + 15]),
      reasons: this.reasons.filter((_, bit) => Math.floor(bits / 2 ** bit) % 2 === 1),
      ask_second: fields[n + 5] === 1,
    };
  }

  private verdictFields(v: Verdict): number[] {
    const bits = v.reasons.reduce((sum, name) => sum + 2 ** this.index(this.reasons, name, 'reason'), 0);
    return [
      ...NUMBERS.map((name) => orNaN(v[name])),
      this.index(this.levels, v.level, 'level'),
      this.index(this.kinds, v.kind, 'kind'),
      this.index(this.qualities, v.quality, 'quality'),
      this.index(this.patterns, v.pattern, 'pattern'),
      bits,
      v.ask_second ? 1 : 0,
    ];
  }
}

/** Load the engine, from a fetch of trend.wasm or from its bytes. */
export async function loadTrend(source: Response | Promise<Response> | BufferSource): Promise<Trend> {
  const bytes = source instanceof ArrayBuffer || ArrayBuffer.isView(source);
  const { instance } = bytes
    ? await WebAssembly.instantiate(source as BufferSource, {})
    : await WebAssembly.instantiateStreaming(source as Response | Promise<Response>, {});
  return new Engine(instance.exports as unknown as Exports);
}
