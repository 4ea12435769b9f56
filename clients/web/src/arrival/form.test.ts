import assert from 'node:assert/strict';
import { describe, it } from 'node:test';
import type { Catalogue } from '../api/types';
import { readChip } from './chip';
import { bodyOf, emptyArrival, faultsOf, nextOf } from './form';

describe('a chip', () => {
  it('of ISO 11784 has 15 digits and an identity that fits 38 bits', () => {
    assert.deepEqual(readChip('276 0940 1234 5678'), { is: 'iso', chip: '276094012345678' });
    assert.deepEqual(readChip('276274877906943'), { is: 'iso', chip: '276274877906943' });
    assert.deepEqual(readChip('276274877906944'), { is: 'wrong', why: 'identity' });
  });
  it('of an older kind is kept as it is', () => {
    assert.deepEqual(readChip('4a0f12b3c'), { is: 'older', chip: '4A0F12B3C' });
    assert.deepEqual(readChip('0123456789'), { is: 'older', chip: '0123456789' });
  });
  it('is asked about otherwise', () => {
    assert.deepEqual(readChip('12345'), { is: 'wrong', why: 'length' });
    assert.deepEqual(readChip('27609401234567O'), { is: 'wrong', why: 'letters' });
    assert.deepEqual(readChip('  '), { is: 'none' });
  });
});

describe('an arrival', () => {
  let n = 0;
  const ids = () => {
    n += 1;
    return `id${n}`;
  };
  const catalogue: Catalogue = {
    version: '1',
    regions: [{ code: 'eyes', position: 1, name: 'Eyes' }],
    species: [],
    signs: [],
  };
  const filled = {
    ...emptyArrival(ids, '2026-11-24T16:40'),
    name: ' Daisy ',
    home: 'h',
    answers: { eyes: 'as_usual' as const },
  };
  it('lists every fault at its own field', () => {
    const faults = faultsOf(
      { ...emptyArrival(ids, '2026-11-24T16:40'), chip: '12', readings: ['81l', '', ''] },
      catalogue,
      (key) => key,
    );
    assert.deepEqual(Object.keys(faults).sort(), [
      '/animal/chip',
      '/animal/name',
      '/baseline/answers',
      '/baseline/weighing/readings/0',
      '/baseline/weighing/scale',
      '/home',
    ]);
    assert.deepEqual(
      faultsOf(filled, catalogue, (key) => key),
      {},
    );
  });
  it('sends no empty member', () => {
    const body = bodyOf(
      { ...filled, readings: ['811', '796', '809'], scale: 's', zeroed: true },
      new Date('2026-11-24T16:40:00Z'),
    );
    assert.equal((body.animal as { name: string }).name, 'Daisy');
    assert.equal('from' in body || 'pen' in body || 'chip' in (body.animal as object), false);
    assert.deepEqual((body.baseline as { weighing: unknown }).weighing, {
      scale: 's',
      readings: [811, 796, 809],
      zeroed: true,
      confirmed: false,
    });
  });
  it('gives the next one the same arrival and a new animal', () => {
    const next = nextOf({ ...filled, from: 'Fallow Farm', chip: '276094012345678' }, ids);
    assert.deepEqual([next.from, next.home, next.name, next.chip], ['Fallow Farm', 'h', '', '']);
    assert.notEqual(next.animal, filled.animal);
    assert.notEqual(next.check, filled.check);
  });
});
