// Numbers, dates and ages as they stand on every screen. The minus is U+2212; grams never group under 10,000.
import { t } from './t';

const LANGUAGE = 'en-GB';
const MINUS = '\u2212';
const DAY = 86_400_000;

function minus(text: string): string {
  return text.replace('-', MINUS);
}

function numbers(digits: number, grouping = true): Intl.NumberFormat {
  return new Intl.NumberFormat(LANGUAGE, {
    minimumFractionDigits: digits,
    maximumFractionDigits: digits,
    useGrouping: grouping,
  });
}

/** Digits that a scale of this step shows. */
export function digitsOf(step: number | null | undefined): number {
  return step && step < 1 ? 1 : 0;
}

/** The number alone, as the scale shows it: "1021", "38.4", "10,240". Without a step: tenths only when there are any. */
export function gramsNumber(grams: number, step?: number | null): string {
  const digits =
    step === undefined || step === null ? (Number.isInteger(Math.round(grams * 10) / 10) ? 0 : 1) : digitsOf(step);
  return minus(numbers(digits, Math.abs(grams) >= 10_000).format(grams));
}

/** "1021 g" */
export function grams(value: number, step?: number | null): string {
  return `${gramsNumber(value, step)}\u00a0g`;
}

/** "+31 g", "−72 g" */
export function gramsChange(value: number, step?: number | null): string {
  const text = gramsNumber(Math.abs(value), step);
  return `${value < 0 ? MINUS : '+'}${text}\u00a0g`;
}

/** "−12.3%" with its sign. */
export function pctChange(value: number): string {
  const rounded = Math.round(value * 10) / 10;
  return `${rounded < 0 ? MINUS : rounded > 0 ? '+' : ''}${numbers(1).format(Math.abs(rounded))}%`;
}

/** "12.3%" without a sign, for sentences that say "under" or "less". */
export function pct(value: number): string {
  return `${numbers(1).format(Math.abs(value))}%`;
}

/** "1.8" */
export function tenths(value: number): string {
  return minus(numbers(1).format(value));
}

export function whole(value: number): string {
  return minus(numbers(0).format(value));
}

/** A chance in words a keeper uses: one home in about 1,900, with two figures that count. */
export function oneIn(p: number): string {
  if (!(p > 0)) return numbers(0).format(1_000_000);
  const times = 1 / p;
  const size = 10 ** Math.max(0, Math.floor(Math.log10(times)) - 1);
  return numbers(0).format(Math.max(1, Math.round(times / size) * size));
}

function inZone(options: Intl.DateTimeFormatOptions, zone?: string): Intl.DateTimeFormat {
  return new Intl.DateTimeFormat(LANGUAGE, zone ? { ...options, timeZone: zone } : options);
}

function year(at: Date, zone?: string): string {
  return inZone({ year: 'numeric' }, zone).format(at);
}

/** "24 Nov", with the year when it is another one. A plain date has no zone. */
export function day(at: string | Date, now: Date, zone?: string): string {
  const plain = typeof at === 'string' && /^\d{4}-\d{2}-\d{2}$/.test(at);
  const when = new Date(at);
  const where = plain ? 'UTC' : zone;
  const short = inZone({ day: 'numeric', month: 'short' }, where).format(when);
  return year(when, where) === year(now, zone) ? short : `${short} ${year(when, where)}`;
}

/** "Tuesday 24 November" */
export function longDay(at: Date, zone?: string): string {
  return inZone({ weekday: 'long', day: 'numeric', month: 'long' }, zone).format(at).replace(',', '');
}

/** "Thursday" */
export function weekday(at: string | Date, zone?: string): string {
  const plain = typeof at === 'string' && /^\d{4}-\d{2}-\d{2}$/.test(at);
  return inZone({ weekday: 'long' }, plain ? 'UTC' : zone).format(new Date(at));
}

/** "8:04" on a clock of 24 hours, without a leading nought. */
export function clock(at: string | Date, zone?: string): string {
  return inZone({ hour: '2-digit', minute: '2-digit', hourCycle: 'h23' }, zone).format(new Date(at)).replace(/^0/, '');
}

/** The calendar day of an instant in a zone: "2026-11-24". */
export function dayKey(at: string | Date, zone?: string): string {
  const piece = inZone({ year: 'numeric', month: '2-digit', day: '2-digit' }, zone).formatToParts(new Date(at));
  const get = (type: string) => piece.find((each) => each.type === type)?.value ?? '';
  return `${get('year')}-${get('month')}-${get('day')}`;
}

/** "8:12" today, "Mon 19:02" within a week, else "24 Nov". */
export function moment(at: string | Date, now: Date, zone?: string): string {
  const when = new Date(at);
  if (dayKey(when, zone) === dayKey(now, zone)) return clock(when, zone);
  if (Math.abs(now.getTime() - when.getTime()) < 6 * DAY) {
    return `${inZone({ weekday: 'short' }, zone).format(when)} ${clock(when, zone)}`;
  }
  return day(when, now, zone);
}

/** How long something waits: "12 min", "5 h", "2 d". */
export function waiting(from: string | Date, now: Date): string {
  const minutes = Math.max(0, Math.round((now.getTime() - new Date(from).getTime()) / 60_000));
  if (minutes < 60) return t('time.minutes', { n: minutes });
  const hours = Math.floor(minutes / 60);
  if (hours < 48) return t('time.hours', { n: hours });
  return t('time.days_short', { n: Math.floor(hours / 24) });
}

/** Whole days between two calendar days (b after a: positive). */
export function daysBetween(a: string, b: string): number {
  return Math.round((Date.parse(b.slice(0, 10)) - Date.parse(a.slice(0, 10))) / DAY);
}

/** "tested 12 days ago", "today", "yesterday" as words. */
export function ago(at: string, now: Date, zone?: string): string {
  const days = daysBetween(dayKey(at, zone), dayKey(now, zone));
  if (days <= 0) return t('time.today');
  if (days === 1) return t('time.yesterday');
  return t('time.days_ago', { n: days });
}

/** Days to 14, weeks to 12, months to 24, then years and months. */
export function age(birth: string, now: Date): string {
  const days = daysBetween(birth, now.toISOString());
  if (days < 0) return '';
  if (days <= 14) return t('age.days', { n: days });
  if (days < 7 * 12) return t('age.weeks', { n: Math.floor(days / 7) });
  const from = new Date(birth);
  let months = (now.getUTCFullYear() - from.getUTCFullYear()) * 12 + now.getUTCMonth() - from.getUTCMonth();
  if (now.getUTCDate() < from.getUTCDate()) months -= 1;
  if (months < 24) return t('age.months', { n: months });
  return t('age.years', { n: Math.floor(months / 12) });
}

/** The tag in its two parts: four characters, and the check character that stands bold beside them. */
export function tagParts(tag: string): [string, string] {
  const bare = tag.replace(/[\s-]/g, '');
  return [bare.slice(0, -1), bare.slice(-1)];
}
