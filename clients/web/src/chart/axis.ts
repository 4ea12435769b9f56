// Round steps for the grams and the weeks and months under a chart.
import { ticks } from 'd3-array';
import { utcMonday, utcMonth } from 'd3-time';
import type { Layout } from './layout';

export interface Axes {
  grams: { y: number; grams: number }[];
  weeks: number[];
  months: { x: number; at: Date }[];
}

export function axes(it: Layout): Axes {
  const [lo, hi] = it.grams;
  const [from, to] = it.time;
  const y = (grams: number) => it.top + (1 - (grams - lo) / (hi - lo)) * (it.bottom - it.top);
  const x = (at: Date) => it.left + ((at.getTime() - from) / Math.max(1, to - from)) * (it.right - it.left);
  const weeks = utcMonday.range(new Date(from), new Date(to + 1));
  const months = utcMonth.range(new Date(from), new Date(to + 1));
  const width = it.right - it.left;
  return {
    grams: ticks(lo, hi, it.height > 250 ? 6 : 5).map((grams) => ({ grams, y: y(grams) })),
    // A tick a week while there is room for it, else the months alone.
    weeks: weeks.length * 4 < width ? weeks.map(x) : [],
    months: (months.length * 40 < width
      ? months
      : months.filter((at) => at.getUTCMonth() % Math.ceil((months.length * 40) / width) === 0)
    ).map((at) => ({ x: x(at), at })),
  };
}
