// Twelve weeks in a list's row. The word and the number stand beside it, so it is silent.
import type { Level, Weighed } from '../api/types';
import { inWindow, isAside, layout } from './layout';

const SHARED: [number, number] = [-15, 8]; // % of own level: one range for all, so that slopes compare

interface Props {
  weighings: readonly Weighed[];
  level: Level;
  width?: number;
  height?: number;
  weeks?: number;
}

export function Sparkline({ weighings, level, width = 96, height = 30, weeks = 12 }: Props) {
  const counted = inWindow(weighings, weeks).filter((each) => !isAside(each));
  if (counted.length < 2) return <svg class="spark" width={width} height={height} aria-hidden="true" />;
  const it = layout(counted, [], {
    width,
    height,
    left: 1,
    right: 5,
    top: 2,
    bottom: 2,
    weeks,
    dot: 0,
    ...rangeFor(counted),
  });
  return (
    <svg
      class={`spark tone-${level}`}
      width={width}
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      aria-hidden="true"
    >
      <path d={it.band} class="chart-band" />
      <path d={it.dotted} class="chart-line chart-gap" />
      <path d={it.solid} class="chart-line spark-line" />
      {it.last && <circle cx={it.last.x} cy={it.last.y} r="2.6" class="chart-last" />}
    </svg>
  );
}

function rangeFor(counted: readonly Weighed[]): { fixed?: [number, number] } {
  const own = counted[counted.length - 1]?.own_level;
  if (!own) return {};
  const growing = counted.some((each) => Math.abs(each.grams / own - 1) > 0.3);
  return growing ? {} : { fixed: SHARED };
}

/** The same from bare numbers, for alerts that bring their last weights along. */
export function SparkNumbers({
  numbers,
  level,
  width = 88,
  height = 30,
}: {
  numbers: readonly number[];
  level: Level;
  width?: number;
  height?: number;
}) {
  const from = Date.UTC(2000, 0, 1);
  const sorted = [...numbers].sort((a, b) => a - b);
  const own = sorted[Math.floor(sorted.length * 0.6)] ?? null;
  const weighings = numbers.map(
    (grams, at): Weighed => ({
      check: String(at),
      at: new Date(from + at * 7 * 86_400_000).toISOString(),
      grams,
      second: null,
      scale: null,
      step: null,
      confirmed: false,
      mouth_looked: 0,
      mouth_seen: 0,
      quality: 'plain',
      level: null,
      kind: null,
      expected: null,
      low: null,
      high: null,
      own_level: own,
      change_pct: null,
      reasons: [],
      set_aside_by_session: false,
    }),
  );
  return <Sparkline weighings={weighings} level={level} width={width} height={height} />;
}

/** A small multiple of a home's page: dots, one shared measure. */
export function Multiple({ weighings, level, width = 220, weeks = 26 }: Props) {
  const shown = inWindow(weighings, weeks);
  if (shown.length === 0) return null;
  const it = layout(shown, [], {
    width,
    height: 56,
    left: 4,
    right: 8,
    top: 4,
    bottom: 4,
    weeks,
    dot: 1.5,
    ...rangeFor(shown),
  });
  return (
    <svg class={`spark tone-${level}`} width={width} height={56} viewBox={`0 0 ${width} 56`} aria-hidden="true">
      <path d={it.band} class="chart-band" />
      <path d={it.dotted} class="chart-line chart-gap" />
      <path d={it.solid} class="chart-line" />
      {it.dot > 0 &&
        it.points.map((point) => (
          <circle key={point.weighed.check} cx={point.x} cy={point.y} r="1.5" class="chart-dot" />
        ))}
      {it.aside.map((each) => (
        <circle key={each.weighed.check} cx={each.x} cy={each.y} r="2.2" class="chart-ring" />
      ))}
      {it.last && <circle cx={it.last.x} cy={it.last.y} r="2.8" class="chart-last" />}
    </svg>
  );
}
