// The weight chart: band, grid, axes, line, marks, labels, in this order; drawn for its width, read out as words.
import { useId, useState } from 'preact/hooks';
import type { EventPeriod, Level, Weighed } from '../api/types';
import { LevelShape } from '../marks/marks';
import { day, grams, pctChange } from '../text/format';
import { t, tMaybe, tOf } from '../text/t';
import { axes } from './axis';
import { type Aside, frameFor, inWindow, isAside, layout, rises } from './layout';
import { useWidth } from './width';

export interface ChartProps {
  name: string;
  weighings: readonly Weighed[];
  events?: readonly EventPeriod[];
  weeks?: number;
  young?: boolean;
  now: Date;
  step?: number | null;
  /** The level that the last weighing's dot shows. */
  level?: Level;
  /** An unanswered reading: its dot is an open ring with a question mark. */
  asked?: boolean;
  table?: boolean;
}

export function asideReason(weighed: Weighed): string {
  for (const code of weighed.reasons) {
    const words = tMaybe('aside', code);
    if (words) return words;
  }
  return t('aside.any');
}

function describe(props: ChartProps, shown: readonly Weighed[]): string {
  const counted = shown.filter((each) => !isAside(each));
  const first = counted[0];
  const last = counted[counted.length - 1];
  if (!first || !last) return t('chart.empty');
  const pieces = [
    t('chart.from_to', {
      first: grams(first.grams, props.step),
      from: day(first.at, props.now),
      last: grams(last.grams, props.step),
      to: day(last.at, props.now),
      n: counted.length,
    }),
  ];
  if (last.own_level !== null) pieces.push(t('chart.own_is', { grams: grams(Math.round(last.own_level), props.step) }));
  if (last.change_pct !== null) pieces.push(t('chart.change_is', { pct: pctChange(last.change_pct) }));
  const marked = rises(shown);
  if (marked.length > 0) {
    pieces.push(
      t('chart.alerts_are', {
        list: marked.map((each) => `${tOf('level', each.level)} ${day(each.at, props.now)}`).join(', '),
      }),
    );
  }
  const aside = shown.filter(isAside);
  if (aside.length > 0) pieces.push(t('chart.aside_are', { n: aside.length }));
  return pieces.join(' ');
}

export function WeightChart(props: ChartProps) {
  const id = useId();
  const [box, width] = useWidth<HTMLDivElement>(Math.min(720, innerWidth - 64));
  const [at, setAt] = useState<number | null>(null);
  const frame = { ...frameFor(width, props.weeks), young: props.young ?? false };
  const it = layout(props.weighings, props.events ?? [], frame);
  const shown = inWindow(props.weighings, frame.weeks);
  const axis = axes(it);
  const last = it.last;
  const lastLevel = props.level ?? last?.weighed.level ?? 'steady';
  const labelY = last ? Math.min(it.bottom - 12, Math.max(it.top + 12, last.y)) : 0;
  const clear = (y: number) => !last || Math.abs(y - (labelY + 6)) > 26;
  const near = (event: PointerEvent) => {
    const left = (event.currentTarget as Element).getBoundingClientRect().left;
    const x = event.clientX - left;
    let best = 0;
    it.points.forEach((point, index) => {
      if (Math.abs(point.x - x) < Math.abs((it.points[best]?.x ?? 0) - x)) best = index;
    });
    setAt(it.points.length > 0 ? best : null);
  };
  const point = at === null ? null : (it.points[at] ?? null);
  const read = point && readOut(point.weighed, props);
  let lastMonth = Number.NEGATIVE_INFINITY;
  return (
    <figure class="chart">
      <div class="chart-read second" aria-hidden="true">
        {read}
      </div>
      <div ref={box} class="chart-box">
        {shown.length === 0 ? (
          <p class="soft">{t('chart.empty')}</p>
        ) : (
          <svg
            width={it.width}
            height={it.height}
            viewBox={`0 0 ${it.width} ${it.height}`}
            role="img"
            aria-labelledby={`${id}t ${id}d`}
            onPointerMove={near}
            onPointerDown={near}
            onPointerLeave={() => setAt(null)}
          >
            <title id={`${id}t`}>{t('chart.title', { name: props.name, n: frame.weeks })}</title>
            <desc id={`${id}d`}>{describe(props, shown)}</desc>
            <path d={it.band} class="chart-band" />
            <path d={it.bandEdges} class="chart-band-edge" />
            {it.pctLines.map((line) => (
              <g key={line.pct}>
                <path d={`M${it.left} ${line.y}H${it.right}`} class="chart-pct" />
                {clear(line.y) && (
                  <text x={it.right + 8} y={line.y + 4} class="chart-text">
                    {pctChange(line.pct).replace(/[.,]0/, '')}
                  </text>
                )}
              </g>
            ))}
            {it.own && (
              <>
                <path d={`M${it.left} ${it.own.y}H${it.right}`} class="chart-own" />
                {clear(it.own.y) && (
                  <text x={it.right + 8} y={it.own.y + 4} class="chart-text">
                    {t('chart.own')}
                  </text>
                )}
              </>
            )}
            {axis.grams.map((tick) => (
              <g key={tick.grams}>
                <path d={`M${it.left - 6} ${tick.y}H${it.left - 2}`} class="chart-axis" />
                <text x={it.left - 9} y={tick.y + 4.5} class="chart-text chart-end">
                  {tick.grams}
                </text>
              </g>
            ))}
            <path d={`M${it.left - 2} ${it.axisTop}V${it.bottom}`} class="chart-axis" />
            <path d={`M${it.left} ${it.bottom + 8}H${it.right}`} class="chart-axis" />
            {axis.weeks.map((x) => (
              <path key={x} d={`M${x} ${it.bottom + 8}v4`} class="chart-axis" />
            ))}
            {axis.months.map(({ x, at: month }) => {
              const fits = x - lastMonth > 36 && (!last || last.x - x > 46) && x > it.left - 4;
              if (fits) lastMonth = x;
              return (
                <g key={x}>
                  <path d={`M${x} ${it.bottom + 8}v7`} class="chart-axis" />
                  {fits && (
                    <text x={x} y={it.bottom + 27} class="chart-text chart-middle">
                      {monthName(month)}
                    </text>
                  )}
                </g>
              );
            })}
            {last && (
              <text x={last.x} y={it.bottom + 27} class="chart-text chart-end-mid chart-strong">
                {day(last.weighed.at, props.now)}
              </text>
            )}
            {width >= 280 &&
              it.events.map((event) => (
                <g key={`${event.event}${event.from}`}>
                  <path
                    class="chart-event"
                    d={
                      event.to - event.from > 8
                        ? `M${event.from} ${it.bottom + 32}v5H${event.to}${event.open ? '' : 'v-5'}`
                        : `M${event.from} ${it.bottom + 8}v28`
                    }
                  />
                  <text x={Math.min(event.from, it.right - 40)} y={it.bottom + 49} class="chart-text chart-strong">
                    {tOf('event', event.event)}
                  </text>
                </g>
              ))}
            <path d={`M${it.left} 9H${it.right}`} class="chart-thread" />
            {it.alerts.map((alert) => (
              <path key={alert.x} d={`M${alert.x} 9V${alert.y}`} class="chart-drop" />
            ))}
            <path d={it.dotted} class="chart-line chart-gap" />
            <path d={it.solid} class="chart-line" />
            {it.points.map((each, index) =>
              each === last ? null : each.doubt ? (
                <circle key={each.weighed.check} cx={each.x} cy={each.y} r="3.2" class="chart-ring" />
              ) : it.dot > 0 ? (
                <circle
                  key={each.weighed.check}
                  cx={each.x}
                  cy={each.y}
                  r={it.dot}
                  class={index === at ? 'chart-dot chart-here' : 'chart-dot'}
                />
              ) : null,
            )}
            {it.aside.map((each) => (
              <AsideMark key={each.weighed.check} aside={each} right={it.right} step={props.step} />
            ))}
            {it.alerts.map((alert) => (
              <LevelShape key={alert.x} level={alert.level} x={alert.x} y={9} size={13} />
            ))}
            {last && (
              <g class={`tone-${lastLevel}`}>
                {props.asked ? (
                  <circle cx={last.x} cy={last.y} r="5" class="chart-asked" />
                ) : (
                  <circle cx={last.x} cy={last.y} r="4.2" class="chart-last" />
                )}
                <text x={it.right + 8} y={labelY + 2} class="chart-value">
                  {grams(last.weighed.grams, props.step)}
                  {props.asked ? ' ?' : ''}
                </text>
                {last.weighed.change_pct !== null && (
                  <text x={it.right + 8} y={labelY + 18} class="chart-change">
                    {pctChange(last.weighed.change_pct)}
                  </text>
                )}
                {it.young && last.weighed.change_pct !== null && width >= 280 && (
                  <text x={it.right + 8} y={labelY + 33} class="chart-text">
                    {t('chart.of_expected')}
                  </text>
                )}
              </g>
            )}
            {point && <path d={`M${point.x} ${it.top}V${it.bottom}`} class="chart-hair" />}
          </svg>
        )}
      </div>
      {it.points.length > 1 && (
        <input
          type="range"
          class="chart-keys"
          min="0"
          max={it.points.length - 1}
          value={at ?? it.points.length - 1}
          aria-label={t('chart.keys', { name: props.name })}
          aria-valuetext={readOut((point ?? last)?.weighed ?? null, props) ?? ''}
          onInput={(event) => setAt(Number(event.currentTarget.value))}
          onBlur={() => setAt(null)}
        />
      )}
      <figcaption class="second soft">
        {it.aside.map((each) => (
          <span key={each.letter} class="chart-note">
            <b class="chart-letter">{each.letter}</b> {t('chart.aside', { reason: asideReason(each.weighed) })}
          </span>
        ))}
        {it.band && (
          <span class="chart-note">{t(it.young ? 'chart.band_young' : 'chart.band', { name: props.name })}</span>
        )}
      </figcaption>
      {props.table !== false && shown.length > 0 && <Numbers {...props} shown={shown} />}
    </figure>
  );
}

function AsideMark({ aside, right, step }: { aside: Aside; right: number; step?: number | null | undefined }) {
  const arrow = aside.beyond === 'up' ? '\u2191 ' : aside.beyond === 'down' ? '\u2193 ' : '';
  const turned = aside.x > right - 90;
  return (
    <g>
      <circle cx={aside.x} cy={aside.y} r="3.6" class="chart-ring" />
      <text x={aside.x + (turned ? -9 : 9)} y={aside.y + 4.5} class={`chart-text ${turned ? 'chart-end' : ''}`}>
        {aside.beyond ? `${arrow}${grams(aside.weighed.grams, step)} ` : ''}
        <tspan class="chart-letter">{aside.letter}</tspan>
      </text>
    </g>
  );
}

function readOut(weighed: Weighed | null, props: ChartProps): string | null {
  if (!weighed) return null;
  const pieces = [day(weighed.at, props.now), grams(weighed.grams, props.step)];
  if (weighed.change_pct !== null) pieces.push(pctChange(weighed.change_pct));
  pieces.push(tOf('level', weighed.level ?? 'steady'));
  return pieces.join(' · ');
}

function monthName(at: Date): string {
  return new Intl.DateTimeFormat('en-GB', { month: 'short', timeZone: 'UTC' }).format(at);
}

/** The same numbers as words, newest first. */
function Numbers({ shown, now, step, name }: ChartProps & { shown: readonly Weighed[] }) {
  return (
    <details class="chart-table">
      <summary class="second">{t('chart.table')}</summary>
      <div class="scroll-x">
        <table>
          <caption class="hidden">{t('chart.table_of', { name })}</caption>
          <thead>
            <tr>
              <th scope="col">{t('chart.day')}</th>
              <th scope="col" class="number">
                {t('chart.weight')}
              </th>
              <th scope="col" class="number">
                {t('chart.expected')}
              </th>
              <th scope="col" class="number">
                {t('chart.change')}
              </th>
              <th scope="col">{t('chart.level')}</th>
            </tr>
          </thead>
          <tbody>
            {[...shown].reverse().map((each) => (
              <tr key={each.check}>
                <th scope="row">{day(each.at, now)}</th>
                <td class="number">{grams(each.grams, step)}</td>
                <td class="number">
                  {each.low !== null && each.high !== null
                    ? t('chart.range', { low: Math.round(each.low), high: Math.round(each.high) })
                    : ''}
                </td>
                <td class="number">{each.change_pct !== null ? pctChange(each.change_pct) : ''}</td>
                <td>
                  {isAside(each)
                    ? t('chart.aside', { reason: asideReason(each) })
                    : tOf('level', each.level ?? 'steady')}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </details>
  );
}
