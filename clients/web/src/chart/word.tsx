// The chart beside a question or the engine's word: band, line, the new reading. No axes, for one glance.
import type { Level, Weighed } from '../api/types';
import { grams } from '../text/format';
import { t } from '../text/t';
import { inWindow, isAside, layout } from './layout';
import { useWidth } from './width';

const HEIGHT = 92;

export function WordChart(props: {
  name: string;
  weighings: readonly Weighed[];
  level: Level;
  asked: boolean;
  step?: number | null;
  young: boolean;
}) {
  const [box, width] = useWidth<HTMLDivElement>(Math.min(600, innerWidth - 80));
  const counted = inWindow(props.weighings, 12).filter((each, at, all) => !isAside(each) || at === all.length - 1);
  const it = layout(
    counted.map((each) => ({ ...each, quality: 'plain' as const, set_aside_by_session: false })),
    [],
    { width, height: HEIGHT, left: 6, right: 14, top: 8, bottom: 22, weeks: 12, dot: 2.4, young: props.young },
  );
  const last = it.last;
  if (!last || counted.length < 2) return null;
  const before = it.points[it.points.length - 2];
  const low = before ? last.y > before.y : false;
  return (
    <div ref={box} class="word-chart">
      <svg
        width={width}
        height={HEIGHT}
        viewBox={`0 0 ${width} ${HEIGHT}`}
        role="img"
        aria-label={t('chart.word', { name: props.name })}
      >
        <path d={it.band} class="chart-band" />
        <path d={it.dotted} class="chart-line chart-gap" />
        <path d={it.solid} class="chart-line" />
        {it.points.map((point) =>
          point === last ? null : (
            <circle key={point.weighed.check} cx={point.x} cy={point.y} r={it.dot} class="chart-dot" />
          ),
        )}
        <g class={`tone-${props.level}`}>
          <circle cx={last.x} cy={last.y} r="5" class={props.asked ? 'chart-asked' : 'chart-last'} />
          <text x={last.x - 12} y={low ? last.y + 16 : Math.max(14, last.y - 8)} class="chart-value chart-end">
            {grams(last.weighed.grams, props.step)}
            {props.asked ? ' ?' : ''}
          </text>
        </g>
      </svg>
    </div>
  );
}
