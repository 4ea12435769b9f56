// What somebody typed as a weight: read it, or say at the field why not. The typing is never changed.
import { t } from './t';

export type Reading = { ok: true; grams: number } | { ok: false; say: string };

const MOST = 30_000; // the database takes no more; no animal here weighs it

/**
 * Reads grams with a point or a comma before the tenth. A mark before three digits could mean thousands or a fraction,
 * and no guess is right often enough, so it asks.
 */
export function readGrams(typed: string, step = 1): Reading {
  const text = typed.replace(/[\s\u00a0\u202f]/g, '').replace(/g$/i, '');
  const no = (say: string): Reading => ({ ok: false, say });
  if (text === '') return no(t('field.weight_empty'));
  if (/^[-\u2212+]/.test(text)) return no(t('field.weight_sign'));
  if (/kg$/i.test(typed.trim())) return no(t('field.weight_kg'));
  if (!/^\d*[.,]?\d*$/.test(text) || !/\d/.test(text)) {
    return no(/^[\d.,]+$/.test(text) ? t('field.weight_marks', { typed }) : t('field.weight_digits', { typed }));
  }
  const [before = '', after] = text.split(/[.,]/);
  if (after !== undefined && after.length === 3 && before !== '' && before !== '0')
    return no(t('field.weight_two_ways', { typed }));
  if (after !== undefined && after.length > 1) return no(t('field.weight_tenths', { typed }));
  if (after === '') return no(t('field.weight_open', { typed }));
  const grams = Number(`${before || '0'}.${after ?? '0'}`);
  if (grams === 0) return no(t('field.weight_zero'));
  if (grams > MOST) return no(t('field.weight_most', { typed }));
  if (after !== undefined && step >= 1 && after !== '0') return no(t('field.weight_step', { typed }));
  return { ok: true, grams };
}

/** Are two readings of one animal close enough? Within 1 %, or two steps of the scale when that is more. */
export function readingsAgree(a: number, b: number, step = 1): boolean {
  return Math.abs(a - b) <= Math.max(0.01 * Math.max(a, b), 2 * step) + 1e-9;
}

/** The weight that counts: the middle one of the readings, to a tenth of a gram. */
export function acceptedGrams(readings: readonly number[]): number {
  const sorted = [...readings].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  const value = sorted.length % 2 ? (sorted[middle] ?? 0) : ((sorted[middle - 1] ?? 0) + (sorted[middle] ?? 0)) / 2;
  return Math.round(value * 10) / 10;
}
