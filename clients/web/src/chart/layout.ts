// Where everything of a weight chart lies. Pure numbers in, pure numbers out; the component only draws.
import type { EventPeriod, Level, Weighed } from '../api/types';
import { levelRank } from '../api/types';

const DAY = 86_400_000;
const GAP = 1.9; // of the usual interval: longer ones are dotted, never drawn as if weighed

export interface Point {
  x: number;
  y: number;
  weighed: Weighed;
  /** A weighing in doubt: an open ring on the line. */
  doubt: boolean;
}

export interface Aside {
  x: number;
  y: number;
  weighed: Weighed;
  letter: string;
  beyond: 'up' | 'down' | null;
}

export interface Layout {
  width: number;
  height: number;
  left: number;
  right: number;
  top: number;
  bottom: number;
  points: Point[];
  solid: string;
  dotted: string;
  band: string;
  bandEdges: string;
  aside: Aside[];
  own: { y: number; grams: number } | null;
  pctLines: { y: number; pct: number }[];
  /** From the lowest to the highest grams, and from the first to the last moment. */
  grams: [number, number];
  time: [number, number];
  axisTop: number;
  alerts: { x: number; y: number; level: Level }[];
  events: { from: number; to: number; event: string; open: boolean }[];
  last: Point | null;
  dot: number;
  /** Growing: no level lines, the last label says "of expected". */
  young: boolean;
}

export interface Frame {
  width: number;
  height: number;
  left: number;
  right: number;
  top: number;
  bottom: number;
  weeks: number;
  dot: number;
  /** A fixed range around the own level, for small multiples: slopes compare. */
  fixed?: [number, number];
  young?: boolean;
}

export function frameFor(width: number, weeks?: number): Frame {
  if (width >= 600) {
    const height = Math.round(Math.min(420, Math.max(216, width * 0.3)));
    return { width, height, left: 52, right: 92, top: 20, bottom: 56, weeks: weeks ?? 26, dot: 2.6 };
  }
  return { width, height: 226, left: 44, right: 78, top: 18, bottom: 44, weeks: weeks ?? 16, dot: 2.1 };
}

export function isAside(weighed: Weighed): boolean {
  return weighed.quality === 'set_aside' || weighed.set_aside_by_session;
}

/** The weighings of the last weeks, oldest first, the newest at the right end. */
export function inWindow(all: readonly Weighed[], weeks: number): Weighed[] {
  const sorted = [...all].sort((a, b) => a.at.localeCompare(b.at));
  const last = sorted[sorted.length - 1];
  if (!last) return [];
  const from = Date.parse(last.at) - weeks * 7 * DAY - DAY;
  return sorted.filter((each) => Date.parse(each.at) >= from);
}

/** Each weighing at which the level rose: what hangs on the thread. */
export function rises(weighings: readonly Weighed[]): Weighed[] {
  const found: Weighed[] = [];
  let before: Level = 'steady';
  for (const each of weighings) {
    if (isAside(each)) continue;
    const level = each.level ?? 'steady';
    if (levelRank(level) > levelRank(before)) found.push(each);
    before = level;
  }
  return found;
}

/** Is what is expected still climbing, by more than an adult's level ever moves in the weeks shown? */
export function isGrowing(shown: readonly Weighed[]): boolean {
  const expected = shown.filter((each) => !isAside(each)).flatMap((each) => each.own_level ?? each.expected ?? []);
  const [first] = expected;
  const last = expected[expected.length - 1];
  return first !== undefined && last !== undefined && last > first * 1.12;
}

function rangeOf(counted: readonly Weighed[], own: number | null, frame: Frame): [number, number] {
  if (frame.fixed && own) return [own * (1 + frame.fixed[0] / 100), own * (1 + frame.fixed[1] / 100)];
  const lows = counted.flatMap((each) => [each.grams, each.low ?? each.grams]);
  const highs = counted.flatMap((each) => [each.grams, each.high ?? each.grams]);
  let lo = Math.min(...lows);
  let hi = Math.max(...highs);
  if (lows.length === 0) [lo, hi] = [0, 1];
  if (own && !frame.young) {
    lo = Math.min(lo, own * 0.93);
    hi = Math.max(hi, own * 1.05);
  }
  if (hi - lo < 0.12 * hi) {
    const middle = (hi + lo) / 2;
    lo = middle - 0.06 * hi;
    hi = middle + 0.06 * hi;
  }
  const room = 0.04 * (hi - lo);
  return [lo - room, hi + room];
}

export function layout(all: readonly Weighed[], events: readonly EventPeriod[], asked: Frame): Layout {
  const shown = inWindow(all, asked.weeks);
  const frame = { ...asked, young: asked.young || isGrowing(shown) };
  const counted = shown.filter((each) => !isAside(each));
  const lastOne = counted[counted.length - 1] ?? null;
  const own = lastOne?.own_level ?? null;
  const [lo, hi] = rangeOf(counted.length > 0 ? counted : shown, own, frame);
  const first = shown[0];
  const newest = shown[shown.length - 1];
  const end = newest ? Date.parse(newest.at) : 0;
  const start = first ? Math.min(Date.parse(first.at), end - (shown.length < 3 ? 21 : 0) * DAY) : 0;
  const innerWidth = frame.width - frame.left - frame.right;
  const innerHeight = frame.height - frame.top - frame.bottom;
  const span = Math.max(DAY, end - start);
  const x = (at: number | string) =>
    frame.left + ((typeof at === 'string' ? Date.parse(at) : at) - start) * (innerWidth / span);
  const y = (grams: number) => frame.top + (1 - (grams - lo) / (hi - lo)) * innerHeight;
  const inside = (value: number) => Math.min(frame.top + innerHeight - 4, Math.max(frame.top + 4, value));

  const points = counted.map((weighed) => ({
    x: x(weighed.at),
    y: frame.fixed ? inside(y(weighed.grams)) : y(weighed.grams),
    weighed,
    doubt: weighed.quality === 'reweigh',
  }));
  const usual = middle(points.slice(1).map((point, at) => point.x - (points[at]?.x ?? 0)));
  let solid = '';
  let dotted = '';
  points.forEach((point, at) => {
    const before = points[at - 1];
    if (!before) return;
    const line = `M${n(before.x)} ${n(before.y)}L${n(point.x)} ${n(point.y)}`;
    const crossesAside = shown.some(
      (each) => isAside(each) && each.at > before.weighed.at && each.at < point.weighed.at,
    );
    if (point.x - before.x > GAP * usual + 0.01 || crossesAside) dotted += line;
    else solid += line;
  });

  const banded = counted.filter((each) => each.low !== null && each.high !== null);
  const over = banded.map((each) => `${n(x(each.at))} ${n(y(each.high as number))}`);
  const under = banded.map((each) => `${n(x(each.at))} ${n(y(each.low as number))}`);
  const band = banded.length > 1 ? `M${over.join('L')}L${[...under].reverse().join('L')}z` : '';
  const bandEdges = banded.length > 1 ? `M${over.join('L')}M${under.join('L')}` : '';

  let letters = 0;
  const aside = shown.filter(isAside).map((weighed) => {
    const wanted = y(weighed.grams);
    const clamped = inside(wanted);
    letters += 1;
    return {
      x: x(weighed.at),
      y: clamped,
      weighed,
      letter: String.fromCharCode(96 + ((letters - 1) % 26) + 1),
      beyond: wanted < clamped - 0.5 ? ('up' as const) : wanted > clamped + 0.5 ? ('down' as const) : null,
    };
  });

  const pctLines =
    own && !frame.young
      ? [-20, -15, -10, -5, 5, 10, 15, 20]
          .map((pct) => ({ pct, y: y(own * (1 + pct / 100)) }))
          .filter((line) => line.y > frame.top + 6 && line.y < frame.top + innerHeight - 4)
      : [];
  const marked = rises(shown)
    .map((each) => ({ x: x(each.at), y: y(each.grams), level: each.level as Level }))
    .filter((each, at, all) => all.every((later, other) => other <= at || later.x - each.x >= 14));

  return {
    width: frame.width,
    height: frame.height,
    left: frame.left,
    right: frame.width - frame.right,
    top: frame.top,
    bottom: frame.top + innerHeight,
    points,
    solid,
    dotted,
    band,
    bandEdges,
    aside,
    own: own && !frame.young ? { y: y(own), grams: own } : null,
    pctLines,
    grams: [lo, hi],
    time: [start, end],
    axisTop: Math.min(frame.top + innerHeight, ...points.map((point) => point.y)),
    alerts: marked,
    events: events
      .map((event) => ({
        event: event.event,
        from: Math.max(frame.left, x(event.from)),
        to: Math.min(frame.width - frame.right, event.to ? x(event.to) : frame.width - frame.right),
        open: event.to === null,
      }))
      .filter((event) => event.to >= frame.left && event.from <= frame.width - frame.right),
    last: points[points.length - 1] ?? null,
    young: frame.young,
    dot: points.length > 1 && usual < 7 ? (usual < 3 ? 0 : 1.3) : frame.dot,
  };
}

function middle(values: number[]): number {
  const sorted = values.sort((a, b) => a - b);
  return sorted[sorted.length >> 1] ?? 0;
}

function n(value: number): string {
  return String(Math.round(value * 10) / 10);
}
