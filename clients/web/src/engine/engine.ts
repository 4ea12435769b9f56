// The engine on the phone: the same C source as on the server, compiled to WebAssembly. Until it is there the check
// takes the reading and says that the word comes later.
import type { RoundAnimal, Verdict, Weighed } from '../api/types';
import { loadTrend, type Subject, type Trend, type Weighing } from '../trend/trend';

let loading: Promise<Trend | null> | null = null;

/** Loads once; a failed load is tried again at the next call. */
export function engine(): Promise<Trend | null> {
  loading ??= loadTrend(fetch('/trend.wasm')).catch(() => {
    loading = null;
    return null;
  });
  return loading;
}

export function subjectOf(animal: RoundAnimal): Subject {
  return {
    species: animal.species,
    sex: animal.sex,
    stage: animal.stage ?? 'unknown',
    birth: animal.birth,
    arrived: animal.arrived,
    adultGrams: animal.adult_grams ?? null,
    events: animal.events.map(({ event, from, to }) => ({ event, from, to })),
  };
}

export function weighingOf(weighed: Weighed): Weighing {
  return {
    at: weighed.at,
    grams: weighed.grams,
    second: weighed.second,
    step: weighed.step,
    scale: weighed.scale,
    confirmed: weighed.confirmed,
    setAside: weighed.set_aside_by_session,
    mouthLooked: weighed.mouth_looked,
    mouthSeen: weighed.mouth_seen,
  };
}

export interface Mate {
  grams: number;
  verdict: Verdict;
  confirmed: boolean;
  species: string;
}

/**
 * What the engine says of a new weighing: the animal alone, then beside those weighed on the same scale in this session.
 * The others' weights are never shown before the reading; they only enter here.
 */
export function judge(trend: Trend, animal: RoundAnimal, now: Weighing, mates: readonly Mate[]): Verdict {
  const series = [...animal.weighings.map(weighingOf).filter((each) => Date.parse(each.at) < Date.parse(now.at)), now];
  const alone = trend.assess(subjectOf(animal), series, series.length - 1)[0];
  if (!alone) throw new Error('the engine gave no verdict');
  if (mates.length === 0) return alone as Verdict;
  const own = { grams: now.grams, verdict: alone, confirmed: now.confirmed, species: animal.species };
  const session = trend.session([...(mates as (typeof own)[]), own]);
  return (session.verdicts[session.verdicts.length - 1] ?? alone) as Verdict;
}
