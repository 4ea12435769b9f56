// From the engine's numbers and reason codes to a sentence. The range always stands with the pace; "may" for what is
// not known; no number is ever suggested.
import type { Verdict } from '../api/types';
import { grams, pct, tenths } from './format';
import { t, tOf } from './t';

export type Numbers = Pick<
  Verdict,
  | 'change_pct'
  | 'week_grams'
  | 'week_pct'
  | 'slope_pct_week'
  | 'slope_low'
  | 'slope_high'
  | 'weeks_of_fall'
  | 'own_level'
>;

export function number(value: unknown): number | null {
  return typeof value === 'number' && Number.isFinite(value) ? value : null;
}

/** "2.5% a week (1.8 to 3.1)": a fall as a positive pace, the range from the slower to the faster end. */
export function pace(numbers: Pick<Numbers, 'slope_pct_week' | 'slope_low' | 'slope_high'>): string | null {
  const slope = number(numbers.slope_pct_week);
  const low = number(numbers.slope_low);
  const high = number(numbers.slope_high);
  if (slope === null || low === null || high === null) return null;
  const falling = slope < 0;
  const ends = falling ? [-high, -low] : [low, high];
  return t('reason.pace', { pace: pct(slope), from: tenths(ends[0] ?? 0), to: tenths(ends[1] ?? 0) });
}

/** How long ago the last weighing was, as the end of "72 g less than ...". */
export function sinceWords(lastAt: string, at: string): string {
  const days = Math.round((Date.parse(at) - Date.parse(lastAt)) / 86_400_000);
  if (days <= 0) return t('since.today');
  if (days === 1) return t('since.yesterday');
  if (days >= 5 && days <= 9) return t('since.week');
  return t('since.days', { n: days });
}

/** "72 g less than last week", or the same for more and for equal. */
export function difference(now: number, last: { grams: number; at: string }, at: string, step?: number | null): string {
  const change = Math.round((now - last.grams) * 10) / 10;
  const since = sinceWords(last.at, at);
  if (change === 0) return t('word.same', { since });
  return t(change < 0 ? 'word.less' : 'word.more', { grams: grams(Math.abs(change), step), since });
}

/** The sentence beside the engine's word after a reading. */
export function wordSentence(
  verdict: Verdict,
  name: string,
  read: { grams: number; at: string; step?: number | null },
  last: { grams: number; at: string } | null,
): string {
  const pieces: string[] = [];
  if (!last || verdict.reasons.includes('first')) pieces.push(t('word.first', { name }));
  if (last) {
    const change = number(verdict.change_pct);
    const difference_ = difference(read.grams, last, read.at, read.step);
    if (change === null) pieces.push(`${difference_}.`);
    else if (Math.abs(change) < 0.05) pieces.push(t('word.at_level', { difference: difference_, name }));
    else {
      pieces.push(
        t(young(verdict) ? 'word.of_expected' : change < 0 ? 'word.under' : 'word.over', {
          difference: difference_,
          pct: pct(change),
          sign: change < 0 ? '\u2212' : '+',
          name,
        }),
      );
    }
  }
  const slope = (number(verdict.weeks_of_fall) ?? 0) >= 2 ? pace(verdict) : null;
  if (slope) pieces.push(t('reason.falling', { n: Math.round(verdict.weeks_of_fall ?? 0), pace: slope }));
  for (const code of EXPLAINING) if (verdict.reasons.includes(code)) pieces.push(tOf('because', code, { name }));
  return sentence(pieces.join(' '));
}

const EXPLAINING = [
  'mouth',
  'birth',
  'surgery',
  'arrived',
  'season',
  'tare',
  'scale_shift',
  'new_level',
  'coarse_scale',
  'low_for_age',
  'young_no_gain',
  'young_loss',
];

function young(verdict: Pick<Verdict, 'reasons' | 'kind'>): boolean {
  return (
    verdict.kind === 'stall' || verdict.reasons.some((code) => code.startsWith('young_') || code === 'low_for_age')
  );
}

export function sentence(text: string): string {
  const clean = text.trim();
  return clean === '' ? '' : clean[0]?.toUpperCase() + clean.slice(1);
}

/** What the second-reading question says the number might be. */
export function doubtSentence(verdict: Verdict, name: string): string {
  for (const code of ['implausible', 'tare', 'other_animal', 'leaning', 'slip']) {
    if (verdict.reasons.includes(code)) return tOf('doubt', code, { name });
  }
  return t('doubt.any', { name });
}
