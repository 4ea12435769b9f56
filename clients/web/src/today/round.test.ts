import assert from 'node:assert/strict';
import { describe, it } from 'node:test';
import type { Round, RoundAnimal } from '../api/types';
import type { Kept, Sent } from '../store/db';
import { isDue, roundWithKept, stopsOf } from './round';

const now = new Date('2026-11-24T08:04:00Z');
const animal = (id: string, of: Partial<RoundAnimal> = {}): RoundAnimal => ({
  id,
  tag: '7K3QF',
  name: id,
  species: 'guinea_pig',
  sex: 'female',
  stage: 'adult',
  birth: null,
  coat: null,
  markings: null,
  status: 'here',
  home: 'h',
  home_name: 'Marsh Lane',
  pen: 'p',
  pen_name: 'Pen 1',
  level: 'steady',
  due_on: '2026-11-24',
  last: { at: '2026-11-17T08:00:00Z', grams: 968 },
  arrived: null,
  check_every_days: 7,
  known_normals: [],
  events: [],
  open_alerts: [],
  last_check: null,
  weighings: [],
  done_today: false,
  ...of,
});
const round = (...animals: RoundAnimal[]): Round => ({
  as_of: '2026-11-24T07:00:00Z',
  homes: [
    {
      id: 'h',
      name: 'Marsh Lane',
      kind: 'foster',
      zone: 'Europe/London',
      cover: false,
      scales: [{ id: 's', home: 'h', name: 'Kitchen scale', step: 1, capacity: 5000, last_test: null }],
      pens: [{ id: 'p', name: 'Pen 1', animals }],
    },
  ],
});
const kept = (check: string, of: string, at = '2026-11-24T08:00:00Z'): Kept => ({
  shape: 1,
  check,
  person: 'ines',
  animal: { id: of, name: of },
  home: 'h',
  body: {
    animal: of,
    home: 'h',
    kind: 'weekly',
    at,
    answers: {},
    findings: [],
    weighing: { scale: 's', readings: [896, 894], zeroed: true, confirmed: false },
  },
  kept_at: at,
  refused: null,
  refused_status: null,
});
const sent = (one: Kept, sent_at: string): Sent => ({
  check: one.check,
  person: one.person,
  animal: one.animal,
  body: one.body,
  kept_at: one.kept_at,
  sent_at,
  level: 'vet_soon',
});

describe('the round without a network', () => {
  it('counts a kept check as done, with its weight', () => {
    const [pepper, tansy] = stopsOf(
      roundWithKept(round(animal('pepper'), animal('tansy')), [kept('1', 'pepper')], [], now),
    );
    assert.equal(pepper?.animal.done_today, true);
    assert.deepEqual(pepper?.animal.last, { at: '2026-11-24T08:00:00Z', grams: 895 });
    assert.equal(pepper?.animal.weighings.at(-1)?.second, 894);
    assert.equal(tansy?.animal.done_today, false);
  });
  it('lays a sent check over an older round, and not twice over one that has it', () => {
    const one = kept('1', 'pepper');
    const over = stopsOf(roundWithKept(round(animal('pepper')), [], [sent(one, '2026-11-24T08:01:00Z')], now))[0];
    assert.equal(over?.animal.level, 'vet_soon');
    const weighing = over?.animal.weighings[0];
    const known = animal('pepper', { weighings: weighing ? [weighing] : [], done_today: true, level: 'watch' });
    const again = stopsOf(roundWithKept(round(known), [], [sent(one, '2026-11-24T08:01:00Z')], now))[0];
    assert.equal(again?.animal.weighings.length, 1);
    assert.equal(again?.animal.level, 'watch');
  });
  it('does not call a check of yesterday done today', () => {
    const [pepper] = stopsOf(
      roundWithKept(round(animal('pepper')), [kept('1', 'pepper', '2026-11-23T20:00:00Z')], [], now),
    );
    assert.equal(pepper?.animal.done_today, false);
  });
});

describe('who is due', () => {
  const due = (of: Partial<RoundAnimal>) => {
    const [stop] = stopsOf(round(animal('a', of)));
    return stop ? isDue(stop, now) : null;
  };
  it('is today and late, not tomorrow, not done', () => {
    assert.equal(due({}), true);
    assert.equal(due({ due_on: '2026-11-22' }), true);
    assert.equal(due({ due_on: '2026-11-25' }), false);
    assert.equal(due({ done_today: true }), false);
  });
  it('is also an animal with an urgent alert before its day', () => {
    const alert = { id: 'x', kind: 'loss' as const, level: 'same_day' as const, state: 'waiting', reasons: [] };
    assert.equal(due({ due_on: '2026-11-28', open_alerts: [alert] }), true);
  });
});
