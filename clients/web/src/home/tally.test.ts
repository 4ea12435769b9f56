import assert from 'node:assert/strict';
import { it } from 'node:test';
import type { HomeFindings } from '../api/types';
import { comparable, lookedIn, tallyOf } from './tally';

const findings: HomeFindings = {
  home: 'h',
  weeks: ['2026-11-09', '2026-11-16'],
  regions: [
    {
      region: 'skin',
      cells: [
        { week: '2026-11-09', looked: 8, found: 2, marked: 0, expected: 0.24 },
        { week: '2026-11-16', looked: 8, found: 3, marked: 1, expected: 0.24 },
      ],
    },
  ],
  strokes: [
    { week: '2026-11-16', region: 'skin', animal: 'a', name: 'Pepper', sign: 'crusts', grade: 'slight', check: '1' },
    { week: '2026-11-16', region: 'skin', animal: 'a', name: 'Pepper', sign: 'itch', grade: 'marked', check: '1' },
    { week: '2026-11-16', region: 'skin', animal: 'b', name: 'Tansy', sign: 'itch', grade: 'slight', check: '2' },
  ],
};

it('draws one stroke an animal, thick when any of its signs was marked', () => {
  const [skin] = tallyOf(findings, 5);
  assert.deepEqual(
    skin?.cells[1]?.strokes.map((stroke) => [stroke.name, stroke.marked]),
    [
      ['Pepper', true],
      ['Tansy', false],
    ],
  );
  assert.equal(skin?.lately, 2);
  assert.ok(Math.abs((skin?.latelyExpected ?? 0) - 0.48) < 1e-9);
});
it('compares only with enough looked at', () => {
  assert.deepEqual(lookedIn(tallyOf(findings, 5)), [8, 8]);
  assert.equal(comparable(tallyOf(findings, 5)), true);
  assert.equal(comparable([]), false);
});
