// The wrapper around trend.wasm: what goes in as objects comes out as the verdicts of the HTTP API. Whether the engine is
// the server's own is tested over random series in tests/reference.

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { test } from 'node:test';
import { loadTrend, type SessionItem, type Subject, TrendError, type Weighing } from './trend.ts';

// The client's build has put the engine beside the page.
const trend = await loadTrend(new Uint8Array(await readFile(process.env.TREND_WASM || 'dist/trend.wasm')));

const sow: Subject = {
  species: 'guinea_pig',
  sex: 'female',
  stage: 'adult',
  birth: null,
  arrived: null,
  events: [],
};

const weekly = (grams: number[], more: Partial<Weighing> = {}): Weighing[] =>
  grams.map((g, i) => ({
    at: new Date(Date.UTC(2026, 0, 5, 10) + i * 7 * 86400000).toISOString(),
    grams: g,
    second: null,
    step: 1,
    scale: 'kitchen',
    confirmed: false,
    setAside: false,
    mouthLooked: 7,
    mouthSeen: 0,
    ...more,
  }));

test('a first weighing has no expectation, and unknown numbers are null', () => {
  const [v] = trend.assess(sow, weekly([1000]));
  assert.ok(v);
  assert.equal(v.level, 'steady');
  assert.equal(v.expected, null);
  assert.equal(v.change_pct, null);
  assert.equal(v.ask_second, false);
  assert.deepEqual(v.reasons, ['first']);
});

test('a sudden loss is urgent, with its numbers and reasons by name', () => {
  const all = trend.assess(sow, weekly([1000, 1004, 998, 1001, 999, 890]));
  assert.equal(all.length, 6);
  const v = all[5];
  assert.ok(v?.week_pct && v.expected && v.low && v.high);
  assert.equal(v.level, 'same_day');
  assert.equal(v.kind, 'loss');
  assert.equal(v.ask_second, true);
  assert.ok(v.reasons.includes('week_pct') && v.reasons.includes('week_grams'));
  assert.ok(Math.abs(v.week_pct - (100 * (890 - 999)) / 999) < 1e-9);
  assert.ok(v.low < v.expected && v.expected < v.high);
});

test('first leaves the earlier verdicts out and changes nothing in the later ones', () => {
  const weighings = weekly([1000, 1004, 998, 1001, 999, 890]);
  assert.deepEqual(trend.assess(sow, weighings, 4), trend.assess(sow, weighings).slice(4));
});

test('a series longer than the engine holds at once is judged in pieces', () => {
  const long = weekly(Array.from({ length: 700 }, (_, i) => 1000 + Math.round(12 * Math.sin(i * i))));
  const all = trend.assess(sow, long);
  assert.equal(all.length, 700);
  for (const n of [255, 256, 257, 453, 700])
    assert.deepEqual(trend.assess(sow, long.slice(0, n), n - 1)[0], all[n - 1]);
});

test('events reach the engine', () => {
  const weighings = weekly([900, 1100, 1300, 1500, 1700, 1150]);
  const events = [{ event: 'gave_birth', from: '2026-02-09', to: null }];
  assert.equal(trend.assess(sow, weighings)[5]?.level, 'emergency');
  assert.equal(trend.assess({ ...sow, events }, weighings)[5]?.level, 'steady');
});

test('a value that the engine refuses is named by its index', () => {
  const weighings = weekly([1000, 1004, -3, 1001]);
  assert.throws(
    () => trend.assess(sow, weighings),
    (e) => e instanceof TrendError && e.reason === 'weight' && e.index === 2,
  );
  assert.throws(() => trend.assess({ ...sow, stage: 'old' }, weekly([1000])), /unknown stage "old"/);
  assert.throws(() => trend.assess(sow, weekly([1000], { at: 'yesterday' })), /"yesterday" is no date/);
});

test('a bowl not at zero sets the whole session aside', () => {
  const usual = [880, 950, 1010, 1090];
  const items: SessionItem[] = usual.map((g) => {
    const verdict = trend.assess(sow, weekly([g, g + 3, g - 4, g + 2, g - 1, g + 190])).at(-1);
    assert.ok(verdict);
    return { grams: g + 190, verdict, confirmed: false, species: 'guinea_pig' };
  });
  const session = trend.session(items);
  assert.ok(session.tare_share > 0.9);
  assert.ok(Math.abs(session.tare_grams - 190) < 15);
  for (const v of session.verdicts) {
    assert.equal(v.quality, 'set_aside');
    assert.equal(v.kind, 'scale');
    assert.ok(v.reasons.includes('tare'));
  }
});

test('a quiet session hands the verdicts back as they were', () => {
  const items: SessionItem[] = [880, 950, 1010, 1090].map((g) => {
    const verdict = trend.assess(sow, weekly([g, g + 3, g - 4, g + 2, g - 1, g])).at(-1);
    assert.ok(verdict);
    return { grams: g, verdict, confirmed: false, species: 'guinea_pig' };
  });
  const session = trend.session(items);
  assert.deepEqual(
    session.verdicts,
    items.map((i) => i.verdict),
  );
  assert.equal(session.scale_shift, false);
  assert.equal(session.n_used, 4);
  assert.ok(session.shift_pct !== null && Math.abs(session.shift_pct) < 1);
});
