import assert from 'node:assert/strict';
import { describe, it } from 'node:test';
import './desk';
import type { Alert, Verdict } from '../api/types';
import { alertSentence } from '../desk/why';
import { difference, doubtSentence, pace, wordSentence } from './reasons';

const now = new Date('2026-11-24T08:04:00Z');
const plain = (text: string) => text.replaceAll('\u00a0', ' ');
const verdict = (of: Partial<Verdict>): Verdict => ({
  level: 'vet_soon',
  kind: 'loss',
  quality: 'plain',
  expected: 968,
  low: 945,
  high: 990,
  own_level: 968,
  change_grams: -73,
  change_pct: -7.5,
  week_grams: -73,
  week_pct: -7.5,
  slope_pct_week: -0.4,
  slope_low: -1,
  slope_high: 0.2,
  weeks_of_fall: 0.5,
  error_share: 0.01,
  mouth_log_odds: 0,
  log_odds: 2,
  sd: 0.012,
  reasons: ['odds', 'own_level'],
  ask_second: true,
  ...of,
});
const alert = (of: Partial<Alert>): Alert => ({
  id: '1',
  kind: 'loss',
  level: 'same_day',
  state: 'waiting',
  animal: { id: 'a', name: 'Bracken', tag: '5XJ4E', species: 'guinea_pig', sex: 'male', pen_name: 'Pen 4' },
  home: { id: 'h', name: 'Orchard shed' },
  scale: null,
  sign_group: null,
  opened_at: '2026-11-24T03:00:00Z',
  raised_at: '2026-11-24T03:00:00Z',
  recorded_at: '2026-11-24T03:00:00Z',
  late: false,
  was_level: null,
  taken_by: null,
  due_at: null,
  limit_hours: 4,
  outcome: null,
  settled_at: null,
  version: 1,
  reasons: [],
  facts: {},
  signs: [],
  spark: [],
  ...of,
});
const words = (code: string) => code.replaceAll('_', ' ');

describe('the pace', () => {
  it('never stands without its range, the slow end first', () => {
    assert.equal(pace({ slope_pct_week: -2.5, slope_low: -3.1, slope_high: -1.8 }), '**2.5% a week** (1.8 to 3.1)');
    assert.equal(pace({ slope_pct_week: -2.5, slope_low: null, slope_high: -1.8 }), null);
    assert.equal(
      pace({ slope_pct_week: -0.5, slope_low: -1.2, slope_high: 0.2 }),
      '**0.5% a week** (\u22120.2 to 1.2)',
    );
  });
});

describe('the word after a reading', () => {
  const last = { grams: 968, at: '2026-11-17T08:00:00Z' };
  it('says the difference, against what, and the share of the own level', () => {
    assert.equal(
      plain(wordSentence(verdict({}), 'Pepper', { grams: 895, at: '2026-11-24T08:00:00Z', step: 1 }, last)),
      "73 g less than last week, **\u22127.5%** of Pepper's own level.",
    );
  });
  it('adds a lasting fall with its range, and what explains it', () => {
    const sentence = wordSentence(
      verdict({
        weeks_of_fall: 5,
        slope_pct_week: -2.5,
        slope_low: -3.1,
        slope_high: -1.8,
        reasons: ['odds', 'mouth'],
      }),
      'Pepper',
      { grams: 895, at: '2026-11-24T08:00:00Z', step: 1 },
      last,
    );
    assert.match(sentence, /Falling for 5 weeks, \*\*2\.5% a week\*\* \(1\.8 to 3\.1\)\./);
    assert.match(sentence, /mouth count too/);
  });
  it('says of a first weight that the band comes later', () => {
    const first = verdict({ reasons: ['first'], change_pct: null });
    assert.match(
      wordSentence(first, 'Pepper', { grams: 895, at: '2026-11-24T08:00:00Z' }, null),
      /the band comes after four/,
    );
  });
  it('names the time of the last weight plainly', () => {
    assert.match(
      difference(900, { grams: 900, at: '2026-11-24T06:00:00Z' }, '2026-11-24T08:00:00Z'),
      /^The same as earlier today$/,
    );
    assert.match(
      plain(difference(910, { grams: 900, at: '2026-11-03T06:00:00Z' }, '2026-11-24T08:00:00Z')),
      /^10 g more than 21 days ago$/,
    );
  });
  it('never suggests a number in a doubt', () => {
    for (const reason of ['slip', 'tare', 'other_animal', 'leaning', 'implausible', 'odds']) {
      assert.doesNotMatch(doubtSentence(verdict({ reasons: [reason] }), 'Pepper'), /\d/);
    }
  });
});

describe('why an alert stands on the desk', () => {
  const facts = {
    weeks_of_fall: 5,
    slope_pct_week: -2.5,
    slope_low: -3.1,
    slope_high: -1.8,
    change_pct: -12.3,
    week_pct: -3.4,
  };
  it('a fall: pace with range, own level, signs', () => {
    assert.equal(
      alertSentence(alert({ kind: 'dental', facts, signs: ['drool'] }), words, now),
      'Falling for 5 weeks, **2.5% a week** (1.8 to 3.1). Now **12.3% under own level.** Seen: drool.',
    );
    assert.equal(
      alertSentence(alert({ kind: 'dental', facts, signs: ['drool'] }), words, now, true),
      '12.3% under own level, drool',
    );
  });
  it('a young animal is measured against what was expected, not against a level', () => {
    assert.match(
      alertSentence(alert({ kind: 'stall', facts: { change_pct: -3.5 } }), words, now),
      /3\.5% under expected\*\* at this age/,
    );
  });
  it('what goes round: counts here and elsewhere and the chance in homes', () => {
    const sentence = alertSentence(
      alert({
        kind: 'spread',
        animal: null,
        sign_group: 'itch',
        facts: { p_value: 0.000526, here_with: 4, here_animals: 8, rest_with: 3, rest_animals: 100 },
      }),
      words,
      now,
    );
    assert.match(
      sentence,
      /4 of 8 animals here\. Elsewhere 3 of 100\. Were nothing going round, one home in about 1,900/,
    );
    assert.doesNotMatch(sentence, /p =|0\.0005/);
  });
  it('a scale: how many moved together and by how much', () => {
    assert.equal(
      alertSentence(alert({ kind: 'scale', facts: { shift_pct: -2.1, animals: 6 } }), words, now),
      'All 6 fell together, 2.1%: scale or food?',
    );
  });
  it('a missed check: for how long', () => {
    assert.equal(
      alertSentence(alert({ kind: 'missed', facts: { checked_on: '2026-11-12' } }), words, now),
      'No check for 12 days.',
    );
  });
});
