// The engine's word on the readings of a draft.
import { useEffect, useState } from 'preact/hooks';
import type { Catalogue, Level, Verdict, Weighed } from '../api/types';
import { worstLevel } from '../api/types';
import { engine, judge } from '../engine/engine';
import type { Stop } from '../today/round';
import { type Draft, gramsOf, mouthOf, signsLevel } from './draft';
import { matesOf } from './session';

export interface Word {
  verdict: Verdict | null;
  /** Of weight and signs together. */
  level: Level;
  /** The new weighing as the last entry of the series, for the charts. */
  weighed: Weighed | null;
  /** False until the engine has spoken, or is known to be missing. */
  settled: boolean;
}

export function knownOf(stop: Stop): Map<string, 'slight' | 'marked'> {
  return new Map(stop.animal.known_normals.map((normal) => [normal.sign, normal.up_to]));
}

/** Known normals that keep an alert away: one that only a vet may grant counts once a vet has confirmed it. */
export function quietNormals(stop: Stop, catalogue: Catalogue): Map<string, 'slight' | 'marked'> {
  return new Map(
    stop.animal.known_normals
      .filter(
        (normal) => normal.vet_confirmed || !catalogue.signs.find((sign) => sign.code === normal.sign)?.vet_only_normal,
      )
      .map((normal) => [normal.sign, normal.up_to]),
  );
}

export async function wordFor(stop: Stop, draft: Draft, catalogue: Catalogue, at: Date): Promise<Word> {
  const quiet = quietNormals(stop, catalogue);
  const signs = signsLevel(draft, catalogue, quiet);
  const grams = gramsOf(draft);
  if (grams === null || draft.scale === null) return { verdict: null, level: signs, weighed: null, settled: true };
  const mouth = mouthOf(draft, catalogue, quiet);
  const step = stop.home.scales.find((scale) => scale.id === draft.scale)?.step ?? null;
  const base: Weighed = {
    check: draft.id,
    at: at.toISOString(),
    grams,
    second: draft.readings[1] ?? null,
    scale: draft.scale,
    step,
    confirmed: draft.confirmed,
    mouth_looked: mouth.looked,
    mouth_seen: mouth.seen,
    quality: 'plain',
    level: null,
    kind: null,
    expected: null,
    low: null,
    high: null,
    own_level: null,
    change_pct: null,
    reasons: [],
    set_aside_by_session: false,
  };
  const trend = await engine();
  if (!trend) return { verdict: null, level: signs, weighed: base, settled: true };
  let verdict: Verdict;
  try {
    verdict = judge(
      trend,
      stop.animal,
      {
        at: base.at,
        grams,
        second: base.second,
        step,
        scale: draft.scale,
        confirmed: draft.confirmed,
        setAside: false,
        mouthLooked: mouth.looked,
        mouthSeen: mouth.seen,
      },
      await matesOf(draft.scale, draft.animal, at),
    );
  } catch {
    return { verdict: null, level: signs, weighed: base, settled: true };
  }
  return {
    verdict,
    level: worstLevel([verdict.level, signs]),
    weighed: {
      ...base,
      quality: verdict.quality,
      level: verdict.level,
      kind: verdict.kind,
      expected: verdict.expected,
      low: verdict.low,
      high: verdict.high,
      own_level: verdict.own_level,
      change_pct: verdict.change_pct,
      reasons: verdict.reasons,
    },
    settled: true,
  };
}

const NOTHING: Word = { verdict: null, level: 'steady', weighed: null, settled: false };

export function useWord(stop: Stop, draft: Draft, catalogue: Catalogue): Word {
  const [word, setWord] = useState<Word>(NOTHING);
  const said = `${draft.readings.join()}|${draft.confirmed}|${draft.scale}|${JSON.stringify(draft.findings)}|${JSON.stringify(draft.answers)}`;
  // biome-ignore lint/correctness/useExhaustiveDependencies: said holds all of the draft that the word depends on
  useEffect(() => {
    let current = true;
    void wordFor(stop, draft, catalogue, new Date()).then((next) => {
      if (current) setWord(next);
    });
    return () => {
      current = false;
    };
  }, [said]);
  return word;
}
