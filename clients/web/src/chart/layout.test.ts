import assert from 'node:assert/strict';
import { describe, it } from 'node:test';
import type { Weighed } from '../api/types';
import { axes } from './axis';
import { frameFor, inWindow, isGrowing, layout, rises } from './layout';

const DAY = 86_400_000;
const start = Date.UTC(2026, 4, 26, 8);
const weighed = (week: number, grams: number, of: Partial<Weighed> = {}): Weighed => ({
  check: String(week),
  at: new Date(start + week * 7 * DAY).toISOString(),
  grams,
  second: null,
  scale: 's',
  step: 1,
  confirmed: false,
  mouth_looked: 0,
  mouth_seen: 0,
  quality: 'plain',
  level: 'steady',
  kind: 'none',
  expected: 1000,
  low: 975,
  high: 1025,
  own_level: 1000,
  change_pct: (grams / 1000 - 1) * 100,
  reasons: [],
  set_aside_by_session: false,
  ...of,
});
const level = (weeks: number) => Array.from({ length: weeks }, (_, week) => weighed(week, 1000 + (week % 3)));

describe('a weight chart', () => {
  it('shows 26 weeks on a desk and 16 on a phone, the newest at the right end', () => {
    const series = level(40);
    assert.equal(inWindow(series, frameFor(900).weeks).length, 27);
    const it = layout(series, [], frameFor(342));
    assert.equal(it.points.length, 17);
    assert.equal(it.last?.x, it.right);
    assert.equal(it.last?.weighed.check, '39');
  });
  it('gives noise no drama: at least 7 % below and 5 % above the own level', () => {
    const [lo, hi] = layout(level(20), [], frameFor(700)).grams;
    assert.ok(lo <= 930 && hi >= 1050, `${lo} to ${hi}`);
  });
  it('dots a gap of more than 1.9 intervals and never draws through a weighing set aside', () => {
    const gap = layout([...level(10).filter((_, week) => week !== 4)], [], frameFor(700));
    assert.equal(gap.dotted.split('M').length - 1, 1);
    const aside = layout(
      level(10).map((each, week) => (week === 5 ? weighed(5, 116, { quality: 'set_aside', reasons: ['slip'] }) : each)),
      [],
      frameFor(700),
    );
    assert.equal(aside.points.length, 9);
    assert.equal(aside.dotted.split('M').length - 1, 1);
    assert.deepEqual([aside.aside[0]?.letter, aside.aside[0]?.beyond], ['a', 'down']);
    assert.ok((aside.aside[0]?.y ?? 0) <= aside.bottom);
  });
  it('hangs an alert where the level rose, not at every week after', () => {
    const series = [
      ...level(6),
      weighed(6, 940, { level: 'watch' }),
      weighed(7, 938, { level: 'watch' }),
      weighed(8, 900, { level: 'vet_soon' }),
    ];
    assert.deepEqual(
      rises(series).map((each) => each.check),
      ['6', '8'],
    );
  });
  it('has no level lines for the young', () => {
    const growing = Array.from({ length: 10 }, (_, week) =>
      weighed(week, 300 + week * 60, { own_level: 300 + week * 60, low: 280 + week * 60, high: 320 + week * 60 }),
    );
    assert.equal(isGrowing(growing), true);
    const it = layout(growing, [], frameFor(700));
    assert.equal(it.own, null);
    assert.deepEqual(it.pctLines, []);
  });
  it('survives one weighing, two on one day, and none', () => {
    for (const series of [[], [weighed(0, 1000)], [weighed(0, 1000), weighed(0, 1001, { check: 'b' })]]) {
      const it = layout(series, [], frameFor(342));
      for (const point of it.points) assert.ok(Number.isFinite(point.x) && Number.isFinite(point.y));
      assert.doesNotMatch(`${it.solid}${it.band}`, /NaN|Infinity/);
      assert.ok(axes(it).grams.every((tick) => Number.isFinite(tick.y)));
    }
  });
  it('ticks the grams in round steps within the chart', () => {
    const it = layout(level(20), [], frameFor(700));
    const { grams } = axes(it);
    assert.ok(grams.length >= 3 && grams.length <= 8);
    for (const tick of grams) assert.ok(tick.y >= it.top - 1 && tick.y <= it.bottom + 1 && tick.grams % 5 === 0);
  });
});
