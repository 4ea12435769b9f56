// The tally of a home: one stroke an animal and week, under it as many as the rest of the network would give.
import type { HomeFindings } from '../api/types';

export interface TallyCell {
  week: string;
  looked: number;
  strokes: { animal: string; name: string; marked: boolean; signs: string[] }[];
  expected: number;
}

export interface TallyRow {
  region: string;
  cells: TallyCell[];
  /** Of the last three weeks. */
  lately: number;
  latelyExpected: number;
}

/** One stroke an animal, region and week, thick when any of its signs was marked. */
export function tallyOf(findings: HomeFindings, weeks: number): TallyRow[] {
  const wanted = new Set(findings.weeks.slice(-weeks));
  return findings.regions.map(({ region, cells }) => {
    const row = cells
      .filter((cell) => wanted.has(cell.week))
      .map((cell) => {
        const strokes = new Map<string, TallyCell['strokes'][number]>();
        for (const each of findings.strokes) {
          if (each.region !== region || each.week !== cell.week) continue;
          const there = strokes.get(each.animal) ?? { animal: each.animal, name: each.name, marked: false, signs: [] };
          there.marked ||= each.grade === 'marked';
          there.signs.push(each.sign);
          strokes.set(each.animal, there);
        }
        return { week: cell.week, looked: cell.looked, strokes: [...strokes.values()], expected: cell.expected ?? 0 };
      });
    const last = row.slice(-3);
    return {
      region,
      cells: row,
      lately: last.reduce((sum, cell) => sum + cell.strokes.length, 0),
      latelyExpected: last.reduce((sum, cell) => sum + cell.expected, 0),
    };
  });
}

/** Most animals looked at in a week, over all regions. */
export function lookedIn(rows: readonly TallyRow[]): number[] {
  const weeks = rows[0]?.cells.length ?? 0;
  return Array.from({ length: weeks }, (_, at) => Math.max(0, ...rows.map((row) => row.cells[at]?.looked ?? 0)));
}

/** Enough history to compare with: four animals' looks at least, over the weeks shown. */
export function comparable(rows: readonly TallyRow[]): boolean {
  return lookedIn(rows).reduce((sum, n) => sum + n, 0) >= 4;
}
