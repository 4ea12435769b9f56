import assert from 'node:assert/strict';
import { describe, it } from 'node:test';
import '../text/desk';
import type { Alert } from '../api/types';
import { isLate, lateSentence, nextAfter, sections } from './order';

const now = new Date('2026-11-24T08:00:00Z');
const alert = (id: string, level: Alert['level'], state: Alert['state'], hours: number, limit: number): Alert =>
  ({
    id,
    level,
    state,
    raised_at: new Date(now.getTime() - hours * 3_600_000).toISOString(),
    limit_hours: limit,
    kind: 'loss',
    animal: { name: id },
  }) as Alert;
const desk = [
  alert('dumpling', 'watch', 'waiting', 20, 72),
  alert('sorrel', 'vet_soon', 'in_hand', 30, 24),
  alert('pepper', 'vet_soon', 'waiting', 1, 24),
  alert('tansy', 'emergency', 'in_hand', 1, 1),
  alert('bracken', 'same_day', 'waiting', 5, 4),
];

describe('the desk', () => {
  it('keeps an emergency on top though somebody has it, then what waits by level, then what is in hand', () => {
    assert.deepEqual(
      sections(desk).map((section) => [section.key, section.alerts.map((each) => each.id)]),
      [
        ['under_way', ['tansy']],
        ['waiting', ['bracken', 'pepper', 'dumpling']],
        ['in_hand', ['sorrel']],
      ],
    );
  });
  it('says who has waited too long: only what nobody took', () => {
    assert.deepEqual(
      desk.filter((each) => isLate(each, now)).map((each) => each.id),
      ['bracken'],
    );
    assert.equal(
      lateSentence(desk, now, (each) => each.animal?.name ?? ''),
      'bracken has waited 5 h, longer than same day allows.',
    );
    assert.equal(
      lateSentence([], now, () => ''),
      null,
    );
  });
  it('goes on to the next that waits, round to the top', () => {
    const order = sections(desk).flatMap((section) => section.alerts);
    assert.equal(nextAfter(order, 'bracken'), 'pepper');
    assert.equal(nextAfter(order, 'dumpling'), 'bracken');
    assert.equal(
      nextAfter(
        order.filter((each) => each.state !== 'waiting'),
        'tansy',
      ),
      null,
    );
  });
});
