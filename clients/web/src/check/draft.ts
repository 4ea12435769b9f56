// A half-done check: the rules of what is answered, what is open and what comes next. No DOM, no storage.
import type { Answer, Catalogue, CheckIn, CheckKind, Finding, Region, Sign, Verdict } from '../api/types';
import { worstLevel } from '../api/types';
import { acceptedGrams } from '../text/reading';

export interface Draft {
  animal: string;
  /** The check's own UUID, made when it was begun. */
  id: string;
  person: string;
  home: string;
  kind: CheckKind;
  started_at: string;
  answers: Record<string, Answer>;
  findings: Finding[];
  /** Where the hands are: a region, 'weight' or 'word'. */
  step: string;
  scale: string | null;
  zeroed: boolean;
  readings: number[];
  /** What stands in the field and was not taken yet. */
  typed: string;
  /** The person said: the number is right. */
  confirmed: boolean;
  /** No weight this time. */
  unweighed: boolean;
  /** Emergency signs whose Help was already shown. */
  helped: string[];
  note: string;
}

/** Regions that this species has, in the order of the hands. The weight comes after them. */
export function regionsOf(catalogue: Catalogue, species: string): Region[] {
  const wanted = catalogue.species.find((each) => each.code === species)?.regions;
  return catalogue.regions
    .filter((region) => region.code !== 'weight' && (!wanted || wanted.includes(region.code)))
    .sort((a, b) => a.position - b.position);
}

export function signsOf(catalogue: Catalogue, species: string, region: string): Sign[] {
  return catalogue.signs.filter(
    (sign) => sign.region === region && (sign.species === null || sign.species.includes(species)),
  );
}

export function begin(parts: {
  id: string;
  animal: string;
  person: string;
  home: string;
  kind: CheckKind;
  at: Date;
  first: string;
}): Draft {
  return {
    animal: parts.animal,
    id: parts.id,
    person: parts.person,
    home: parts.home,
    kind: parts.kind,
    started_at: parts.at.toISOString(),
    answers: {},
    findings: [],
    step: parts.kind === 'weigh_only' ? 'weight' : parts.first,
    scale: null,
    zeroed: false,
    readings: [],
    typed: '',
    confirmed: false,
    unweighed: false,
    helped: [],
    note: '',
  };
}

export function findingsIn(draft: Draft, catalogue: Catalogue, region: string): Finding[] {
  const codes = new Set(catalogue.signs.filter((sign) => sign.region === region).map((sign) => sign.code));
  return draft.findings.filter((finding) => codes.has(finding.sign));
}

/** Ticks or unticks a sign; its region has findings exactly while one is ticked. */
export function toggleSign(draft: Draft, catalogue: Catalogue, sign: Sign): Draft {
  const there = draft.findings.some((finding) => finding.sign === sign.code);
  const findings = there
    ? draft.findings.filter((finding) => finding.sign !== sign.code)
    : [...draft.findings, { sign: sign.code, grade: 'slight' as const }];
  const next = { ...draft, findings };
  const answers = { ...draft.answers };
  if (findingsIn(next, catalogue, sign.region).length > 0) answers[sign.region] = 'findings';
  else delete answers[sign.region];
  return { ...next, answers };
}

export function changeFinding(draft: Draft, sign: string, change: Partial<Finding>): Draft {
  return {
    ...draft,
    findings: draft.findings.map((finding) => (finding.sign === sign ? { ...finding, ...change } : finding)),
  };
}

/** Answers one region without a sign; its findings, if any, go. */
export function answer(draft: Draft, catalogue: Catalogue, region: string, value: 'as_usual' | 'not_looked_at'): Draft {
  const gone = new Set(findingsIn(draft, catalogue, region).map((finding) => finding.sign));
  return {
    ...draft,
    answers: { ...draft.answers, [region]: value },
    findings: draft.findings.filter((finding) => !gone.has(finding.sign)),
  };
}

/** One press: every region that is still open was as usual. */
export function restAsUsual(draft: Draft, regions: readonly Region[]): Draft {
  const answers = { ...draft.answers };
  for (const { code } of regions) answers[code] ??= 'as_usual';
  return { ...draft, answers };
}

export function openRegions(draft: Draft, regions: readonly Region[]): Region[] {
  return regions.filter(({ code }) => draft.answers[code] === undefined);
}

/** The step after this one: the next region in the order of the hands, then the weight. */
export function stepAfter(step: string, regions: readonly Region[]): string {
  const at = regions.findIndex(({ code }) => code === step);
  return regions[at + 1]?.code ?? 'weight';
}

export function stepBefore(step: string, regions: readonly Region[]): string | null {
  if (step === 'word') return 'weight';
  if (step === 'weight') return regions[regions.length - 1]?.code ?? null;
  const at = regions.findIndex(({ code }) => code === step);
  return regions[at - 1]?.code ?? null;
}

export const MOUTH_TEETH = 1;
export const MOUTH_CHIN = 2;
export const MOUTH_FOOD = 4;

/** The catalogue's groups of mouth signs, as the engine's dental evidence counts them. */
const MOUTH: Record<string, number> = { teeth: MOUTH_TEETH, chin: MOUTH_CHIN, food: MOUTH_FOOD };

/** Which mouth signs were looked at and seen; a known normal up to its grade does not count as seen. */
export function mouthOf(
  draft: Pick<Draft, 'answers' | 'findings'>,
  catalogue: Catalogue,
  known: ReadonlyMap<string, 'slight' | 'marked'>,
) {
  let looked = 0;
  let seen = 0;
  for (const sign of catalogue.signs) {
    const group = sign.group ? MOUTH[sign.group] : undefined;
    if (!group) continue;
    const said = draft.answers[sign.region];
    if (said === 'as_usual' || said === 'findings') looked |= group;
    const finding = draft.findings.find((each) => each.sign === sign.code);
    if (finding && !isKnown(finding, known)) seen |= group;
  }
  return { looked, seen };
}

export function isKnown(finding: Finding, known: ReadonlyMap<string, 'slight' | 'marked'>): boolean {
  const upTo = known.get(finding.sign);
  return upTo === 'marked' || (upTo === 'slight' && finding.grade === 'slight');
}

/** The level of what was seen, known normals left out. */
export function signsLevel(
  draft: Pick<Draft, 'findings'>,
  catalogue: Catalogue,
  known: ReadonlyMap<string, 'slight' | 'marked'>,
) {
  return worstLevel(
    draft.findings
      .filter((finding) => !isKnown(finding, known))
      .map((finding) => catalogue.signs.find((sign) => sign.code === finding.sign)?.level),
  );
}

/** Asks for another reading: after the first when the engine doubts it, after two that disagree. */
export function wantsReading(
  draft: Pick<Draft, 'readings' | 'confirmed'>,
  verdict: Pick<Verdict, 'ask_second'> | null,
  agree: (a: number, b: number) => boolean,
): 'second' | 'third' | null {
  const [first, second] = draft.readings;
  if (draft.confirmed || first === undefined) return null;
  if (draft.readings.length === 1) return verdict?.ask_second ? 'second' : null;
  if (draft.readings.length === 2 && second !== undefined && !agree(first, second)) return 'third';
  return null;
}

/** Minutes the check took: at least one, at most three hours (a phone that lay in a pocket is not a check). */
export function minutesOf(draft: Pick<Draft, 'started_at'>, now: Date): number {
  const minutes = Math.round((now.getTime() - Date.parse(draft.started_at)) / 60_000);
  return Math.min(180, Math.max(1, minutes));
}

export function bodyOf(draft: Draft, now: Date): CheckIn {
  const weighed = draft.readings.length > 0 && draft.scale !== null && !draft.unweighed;
  const body: CheckIn = {
    animal: draft.animal,
    home: draft.home,
    kind: draft.kind,
    at: now.toISOString(),
    minutes: minutesOf(draft, now),
    answers: draft.kind === 'weigh_only' ? {} : draft.answers,
    findings:
      draft.kind === 'weigh_only'
        ? []
        : draft.findings.map(({ sign, grade, side, note }) => ({
            sign,
            grade,
            ...(side ? { side } : {}),
            ...(note?.trim() ? { note: note.trim() } : {}),
          })),
    weighing: weighed
      ? { scale: draft.scale as string, readings: draft.readings, zeroed: draft.zeroed, confirmed: draft.confirmed }
      : null,
  };
  if (draft.note.trim()) body.note = draft.note.trim();
  return body;
}

export function gramsOf(draft: Pick<Draft, 'readings'>): number | null {
  return draft.readings.length > 0 ? acceptedGrams(draft.readings) : null;
}
