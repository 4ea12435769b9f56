// What changed since the last check, in one sentence.
import type { Catalogue, Check } from '../api/types';
import { difference } from '../text/reasons';
import { t } from '../text/t';

/** newest first */
export function changedSentence(checks: readonly Check[], catalogue: Catalogue | null): string {
  const [now, before] = checks;
  if (!now) return t('animal.no_checks');
  const pieces: string[] = [];
  const weighed = checks.filter((check) => check.weighing && check.verdict?.quality !== 'set_aside');
  const [latest, earlier] = weighed;
  if (latest?.weighing && earlier?.weighing) {
    pieces.push(difference(latest.weighing.grams, { grams: earlier.weighing.grams, at: earlier.at }, latest.at));
  }
  const had = new Set(before?.findings.map((finding) => finding.sign));
  const words = (code: string) => catalogue?.signs.find((sign) => sign.code === code)?.words ?? code;
  const fresh = now.findings.filter((finding) => !finding.usual && !had.has(finding.sign));
  const gone = (before?.findings ?? []).filter(
    (finding) => !finding.usual && !now.findings.some((each) => each.sign === finding.sign),
  );
  if (fresh.length > 0)
    pieces.push(t('animal.new_signs', { signs: fresh.map((finding) => words(finding.sign)).join('; ') }));
  if (gone.length > 0 && now.kind !== 'weigh_only')
    pieces.push(t('animal.gone_signs', { signs: gone.map((finding) => words(finding.sign)).join('; ') }));
  if (fresh.length === 0 && gone.length === 0) pieces.push(t('animal.nothing_new'));
  const text = pieces.join(', ');
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}.`;
}
