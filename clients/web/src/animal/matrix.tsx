// Findings of one animal, regions by weeks: a dot is a sign (large: marked), a ring is usual for it, a dash as usual,
// blank: not looked at.
import type { Catalogue, Check, Region } from '../api/types';
import { day } from '../text/format';
import { t, tOf } from '../text/t';

const WEEK = 7 * 86_400_000;

type Seen = Pick<Check, 'id' | 'at' | 'kind' | 'answers' | 'findings'>;
export interface Cell {
  is: 'blank' | 'as_usual' | 'usual' | 'slight' | 'marked';
  signs: string[];
}

/** Columns end today and go back week by week; the last check of a week that looked at the region counts. */
export function cellsOf(
  checks: readonly Seen[],
  regions: readonly Region[],
  regionOf: (sign: string) => string | undefined,
  weeks: number,
  now: Date,
): Cell[][] {
  const column = (at: string) => weeks - 1 - Math.floor((now.getTime() - Date.parse(at)) / WEEK);
  const sorted = [...checks].sort((a, b) => a.at.localeCompare(b.at));
  return regions.map(({ code }) => {
    const row: Cell[] = Array.from({ length: weeks }, () => ({ is: 'blank', signs: [] }));
    for (const check of sorted) {
      const at = column(check.at);
      const answer = check.answers[code];
      if (at < 0 || at >= weeks || answer === undefined || answer === 'not_looked_at') continue;
      const here = check.findings.filter((finding) => regionOf(finding.sign) === code);
      const counted = here.filter((finding) => !finding.usual);
      const is = counted.some((finding) => finding.grade === 'marked')
        ? 'marked'
        : counted.length > 0
          ? 'slight'
          : here.length > 0
            ? 'usual'
            : 'as_usual';
      row[at] = { is, signs: (counted.length > 0 ? counted : here).map((finding) => finding.sign) };
    }
    return row;
  });
}

export function Matrix(props: {
  name: string;
  checks: readonly Seen[];
  catalogue: Catalogue;
  species: string;
  weeks: number;
  now: Date;
}) {
  const { catalogue, weeks, now } = props;
  const wanted = catalogue.species.find((each) => each.code === props.species)?.regions;
  const regions = catalogue.regions.filter(
    (region) => region.code !== 'weight' && (!wanted || wanted.includes(region.code)),
  );
  const signs = new Map(catalogue.signs.map((sign) => [sign.code, sign]));
  const rows = cellsOf(props.checks, regions, (code) => signs.get(code)?.region, weeks, now);
  const starts = Array.from({ length: weeks }, (_, at) => new Date(now.getTime() - (weeks - 1 - at) * WEEK));
  return (
    <div class="matrix-box">
      <table class="matrix">
        <caption class="hidden">{t('matrix.caption', { name: props.name, n: weeks })}</caption>
        <colgroup>
          <col class="matrix-name" />
          {starts.map((start) => (
            <col key={start.getTime()} />
          ))}
        </colgroup>
        <thead class="hidden">
          <tr>
            <th scope="col">{t('matrix.region')}</th>
            {starts.map((start) => (
              <th key={start.getTime()} scope="col">
                {day(start, now)}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {regions.map((region, at) => {
            const row = rows[at] ?? [];
            const found = row.some((cell) => cell.is === 'slight' || cell.is === 'marked');
            return (
              <tr key={region.code}>
                <th scope="row" class={found ? 'matrix-found' : ''}>
                  {region.name.toLowerCase()}
                </th>
                {row.map((cell, week) => (
                  // biome-ignore lint/suspicious/noArrayIndexKey: a column is a week
                  <td
                    key={week}
                    class={`cell-${cell.is}`}
                    title={cell.signs.map((code) => signs.get(code)?.words ?? code).join('; ')}
                  >
                    <span class="hidden">
                      {tOf('matrix', cell.is)} {cell.signs.map((code) => signs.get(code)?.words ?? code).join('; ')}
                    </span>
                  </td>
                ))}
              </tr>
            );
          })}
        </tbody>
        <tfoot aria-hidden="true">
          <tr>
            <td />
            {starts.map((start, at) => (
              <td key={start.getTime()}>{(weeks - 1 - at) % 4 === 0 && <span>{day(start, now)}</span>}</td>
            ))}
          </tr>
        </tfoot>
      </table>
      <p class="small soft matrix-key" aria-hidden="true">
        <span class="key-slight" /> <span class="key-marked" /> {t('matrix.key_seen')} <span class="key-usual" />{' '}
        {t('matrix.key_usual', { name: props.name })} <span class="key-dash">–</span> {t('matrix.as_usual')} ·{' '}
        {t('matrix.key_blank')}
      </p>
    </div>
  );
}
