// Why an alert stands on the desk, in words made from its facts and reason codes.
import type { Alert, Facts } from '../api/types';
import { daysBetween, grams, oneIn, pct, whole } from '../text/format';
import { type Numbers, number, pace, sentence } from '../text/reasons';
import { t, tMaybe, tOf } from '../text/t';

function list(words: readonly string[]): string {
  return new Intl.ListFormat('en', { type: 'unit' }).format(words);
}

function fact(facts: Facts, ...names: string[]): number | null {
  for (const name of names) {
    const value = number(facts[name]);
    if (value !== null) return value;
  }
  return null;
}

export type SignWords = (code: string) => string;

/** Why an alert stands on the desk. short: one line for the list; else the sentence beside the name. */
export function alertSentence(alert: Alert, words: SignWords, now: Date, short = false): string {
  const { facts, kind } = alert;
  const signs = list(alert.signs.map(words));
  if (kind === 'missed') {
    const last = facts.checked_on;
    if (typeof last !== 'string') return t('alert.missed');
    return t('alert.missed_days', { n: Math.max(1, daysBetween(last, now.toISOString())) });
  }
  if (kind === 'spread') return spreadSentence(alert, short);
  if (kind === 'scale') return scaleSentence(facts);
  if (kind === 'finding') return sentence(signs || tOf('kind', 'finding'));
  const pieces: string[] = [];
  const numbers = facts as unknown as Numbers;
  const weeks = fact(facts, 'weeks_of_fall') ?? 0;
  const slope = pace(numbers);
  const change = fact(facts, 'change_pct');
  const week = fact(facts, 'week_pct');
  const isYoung =
    kind === 'stall' ||
    alert.animal?.stage === 'young' ||
    alert.reasons.some((code) => code.startsWith('young_') || code === 'low_for_age');
  if (!short && weeks >= 2 && slope) pieces.push(t('reason.falling', { n: Math.round(weeks), pace: slope }));
  else if (
    week !== null &&
    (alert.reasons.includes('week_pct') || alert.reasons.includes('week_grams') || kind === 'gain')
  ) {
    pieces.push(t(week < 0 ? 'reason.week_less' : 'reason.week_more', { pct: pct(week) }));
  }
  if (alert.reasons.includes('young_no_gain')) pieces.push(t('reason.young_no_gain'));
  if (alert.reasons.includes('young_loss')) pieces.push(t('reason.young_loss'));
  if (change !== null && Math.abs(change) >= 0.05 && (pieces.length === 0 || !short)) {
    const way = isYoung
      ? change < 0
        ? 'reason.under_expected'
        : 'reason.over_expected'
      : change < 0
        ? 'reason.under_level'
        : 'reason.over_level';
    pieces.push(t(way, { pct: pct(change) }));
  }
  if (signs) pieces.push(short ? signs : t('reason.signs', { signs }));
  if (!short) {
    for (const code of [
      'birth',
      'surgery',
      'arrived',
      'season',
      'new_level',
      'coarse_scale',
      'low_for_age',
      'scale_shift',
    ]) {
      const because = alert.reasons.includes(code) ? tMaybe('because', code, { name: alert.animal?.name ?? '' }) : null;
      if (because) pieces.push(because);
    }
  }
  if (pieces.length === 0) pieces.push(tMaybe('kind_says', kind) ?? tOf('kind', kind));
  return sentence(
    short
      ? list(pieces.map((piece) => piece.replaceAll('**', '').replace(/[.]$/, '').replace(/^Now /, '')))
      : pieces.join(' '),
  );
}

function spreadSentence(alert: Alert, short: boolean): string {
  const { facts } = alert;
  const group = tOf('sign_group', alert.sign_group);
  const found = fact(facts, 'here_with');
  const animals = fact(facts, 'here_animals');
  const restFound = fact(facts, 'rest_with');
  const restAnimals = fact(facts, 'rest_animals');
  const p = fact(facts, 'p_value');
  const pieces = [
    found !== null && animals !== null
      ? t('alert.spread_counts', { group, found: whole(found), n: animals })
      : t('alert.spread', { group }),
  ];
  if (!short && restFound !== null && restAnimals)
    pieces.push(t('alert.spread_rest', { found: whole(restFound), n: whole(restAnimals) }));
  if (!short && p !== null && p < 1) pieces.push(t('alert.spread_chance', { one: oneIn(p) }));
  return sentence(pieces.join(' '));
}

function scaleSentence(facts: Facts): string {
  const mass = fact(facts, 'mass');
  const reading = fact(facts, 'reading');
  if (mass !== null && reading !== null) {
    return t('alert.scale_test', { mass: grams(mass), reading: grams(reading) });
  }
  const shift = fact(facts, 'shift_pct');
  const n = fact(facts, 'animals');
  if (shift === null) return t('alert.scale');
  return t(shift < 0 ? 'alert.scale_less' : 'alert.scale_more', { n: n ?? 2, pct: pct(shift) });
}
