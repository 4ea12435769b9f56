// The one line under a name: what to look at this time. Asked for and late in bold; it never moves a row.
import type { Catalogue, Kind } from '../api/types';
import { levelRank } from '../api/types';
import { alertReasonShort } from '../text/alerts';
import { dayKey } from '../text/format';
import { t } from '../text/t';
import { lateBy, type Stop } from './round';

export interface Tell {
  kind: Kind;
  words: string;
  bold: boolean;
}

export function tellOf(stop: Stop, now: Date, catalogue: Catalogue | null): Tell | null {
  const { animal } = stop;
  const worst = [...animal.open_alerts].sort((a, b) => levelRank(b.level) - levelRank(a.level))[0];
  if (worst && worst.kind !== 'missed')
    return { kind: worst.kind, words: alertReasonShort(worst), bold: levelRank(worst.level) >= 3 };
  const late = lateBy(animal, dayKey(now, stop.home.zone));
  if (late !== null && late > 0) return { kind: 'missed', words: t('tell.late', { n: late }), bold: true };
  const known = new Set(animal.known_normals.map((normal) => normal.sign));
  const seen = animal.last_check?.findings.filter((finding) => !known.has(finding.sign)) ?? [];
  const sign = catalogue?.signs.find((each) => each.code === seen[0]?.sign);
  if (sign && !animal.done_today)
    return { kind: 'finding', words: t('tell.seen_last', { sign: sign.words }), bold: false };
  if (!animal.last_check) return { kind: 'none', words: t('tell.never'), bold: false };
  return null;
}
