// A scale over time: a dot a session (how all animals moved together), a band of ±1.2 %, squares for tests.
import type { ScalePage } from '../api/types';
import { now, zone } from '../app/state';
import { ago, day, pctChange } from '../text/format';
import { t } from '../text/t';

const WIDTH = 320;
const HEIGHT = 104;
const BAND = 1.2; // % that sessions move together without the scale being at fault (engine: scale shift)

export function ScaleChart({ scale }: { scale: ScalePage }) {
  const sessions = (scale.sessions ?? [])
    .filter((each) => each.shift_pct !== null)
    .sort((a, b) => a.from.localeCompare(b.from));
  const tests = [...scale.tests].sort((a, b) => a.at.localeCompare(b.at));
  const last = tests.at(-1);
  const times = [...sessions.map((each) => each.from), ...tests.map((each) => each.at)].map((at) => Date.parse(at));
  if (times.length === 0) return <p class="second soft">{t('scale.nothing')}</p>;
  const from = Math.min(...times, now.value.getTime() - 84 * 86_400_000);
  const span = now.value.getTime() - from || 1;
  const x = (at: string) => 8 + ((Date.parse(at) - from) / span) * (WIDTH - 72);
  const y = (pct: number) => 34 - Math.max(-2.6, Math.min(2.6, pct)) * 12; // beyond 2.6 % a dot stays at the edge
  const words = last
    ? t(last.passed ? 'scale.passed' : 'scale.failed', { ago: ago(last.at, now.value, zone()) })
    : t('scale.never');
  return (
    <figure class="chart">
      <svg
        width={WIDTH}
        height={HEIGHT}
        viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
        role="img"
        aria-label={t('scale.chart', { scale: scale.name, sessions: sessions.length, tests: tests.length })}
        class="scale-chart"
      >
        <path d={`M4 ${y(BAND)}H${WIDTH - 60}V${y(-BAND)}H4z`} class="chart-band" />
        <path d={`M4 ${y(BAND)}H${WIDTH - 60}M4 ${y(-BAND)}H${WIDTH - 60}`} class="chart-band-edge" />
        <path d={`M4 ${y(0)}H${WIDTH - 60}`} class="chart-own" />
        <text x={WIDTH - 54} y={y(BAND) + 4} class="chart-text">
          {pctChange(BAND)}
        </text>
        <text x={WIDTH - 54} y={y(-BAND) + 4} class="chart-text">
          {pctChange(-BAND)}
        </text>
        {sessions.map((each) => (
          <circle key={each.from} cx={x(each.from)} cy={y(each.shift_pct ?? 0)} r="2.6" class="chart-dot">
            <title>{`${day(each.from, now.value)} ${pctChange(each.shift_pct ?? 0)}`}</title>
          </circle>
        ))}
        {tests.map((each) => (
          <rect
            key={each.id}
            x={x(each.at) - 4.5}
            y={78}
            width="9"
            height="9"
            class={each.passed ? 'scale-passed' : 'scale-failed'}
          >
            <title>{day(each.at, now.value)}</title>
          </rect>
        ))}
      </svg>
      <figcaption class="second soft">
        {t('scale.caption', { n: sessions.length })} {words}
      </figcaption>
    </figure>
  );
}
