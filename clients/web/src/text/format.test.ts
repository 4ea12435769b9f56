import assert from 'node:assert/strict';
import { describe, it } from 'node:test';
import * as f from './format';

const now = new Date('2026-11-24T08:04:00Z');
const plain = (text: string) => text.replaceAll('\u00a0', ' ');

describe('numbers', () => {
  it('show grams by the step of the scale, without grouping under 10,000', () => {
    assert.equal(plain(f.grams(1021, 1)), '1021 g');
    assert.equal(plain(f.grams(38.4, 0.1)), '38.4 g');
    assert.equal(plain(f.grams(38, 0.1)), '38.0 g');
    assert.equal(plain(f.grams(10_240, 5)), '10,240 g');
    assert.equal(plain(f.grams(38.4)), '38.4 g');
  });
  it('write the minus as U+2212 and a change with its sign', () => {
    assert.equal(f.pctChange(-12.26), '\u221212.3%');
    assert.equal(f.pctChange(3.04), '+3.0%');
    assert.equal(f.pctChange(-0.04), '0.0%');
    assert.equal(plain(f.gramsChange(-72)), '\u221272 g');
    assert.equal(plain(f.gramsChange(31)), '+31 g');
  });
  it('say a chance as one home in so many, two figures that count', () => {
    assert.equal(f.oneIn(0.000526), '1,900');
    assert.equal(f.oneIn(0.04), '25');
    assert.equal(f.oneIn(0.5), '2');
  });
});

describe('ages', () => {
  const of = (birth: string) => f.age(birth, now);
  it('are days to 14, weeks to 12, months to 24, then years', () => {
    assert.equal(of('2026-11-10'), '14 days');
    assert.equal(of('2026-11-09'), '2 weeks');
    assert.equal(of('2026-09-02'), '11 weeks');
    assert.equal(of('2026-09-01'), '2 months');
    assert.equal(of('2024-11-25'), '23 months');
    assert.equal(of('2024-11-24'), '2 years');
    assert.equal(of('2026-11-23'), '1 day');
  });
});

describe('moments', () => {
  it('are the clock today, weekday and clock within a week, else the date', () => {
    assert.equal(f.moment('2026-11-24T08:04:00Z', now, 'UTC'), '8:04');
    assert.equal(f.moment('2026-11-23T19:02:00Z', now, 'UTC'), 'Mon 19:02');
    assert.equal(f.moment('2026-11-01T19:02:00Z', now, 'UTC'), '1 Nov');
    assert.equal(f.moment('2025-11-01T19:02:00Z', now, 'UTC'), '1 Nov 2025');
  });
  it('belong to the day of the home, not of the phone', () => {
    assert.equal(f.dayKey('2026-11-23T23:30:00Z', 'Europe/Berlin'), '2026-11-24');
    assert.equal(f.dayKey('2026-11-23T23:30:00Z', 'Europe/London'), '2026-11-23');
    assert.equal(f.day('2026-11-24', now, 'America/Los_Angeles'), '24 Nov');
  });
  it('wait in minutes, hours, then days', () => {
    assert.equal(f.waiting('2026-11-24T07:52:00Z', now), '12 min');
    assert.equal(f.waiting('2026-11-24T03:00:00Z', now), '5 h');
    assert.equal(f.waiting('2026-11-22T03:00:00Z', now), '2 d');
  });
});

it('a tag is four characters and its check character', () => {
  assert.deepEqual(f.tagParts('7K3Q F'), ['7K3Q', 'F']);
  assert.deepEqual(f.tagParts('7K3QF'), ['7K3Q', 'F']);
});
