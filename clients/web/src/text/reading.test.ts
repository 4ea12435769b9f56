import assert from 'node:assert/strict';
import { describe, it } from 'node:test';
import { acceptedGrams, readGrams, readingsAgree } from './reading';

describe('a typed weight', () => {
  const reads: [string, number, number][] = [
    ['981', 1, 981],
    ['98,1', 0.1, 98.1],
    ['98.1', 0.1, 98.1],
    [' 1 021 g', 1, 1021],
    ['10\u202f240', 1, 10_240],
    ['0.9', 0.1, 0.9],
    [',5', 0.1, 0.5],
    ['98.0', 1, 98],
  ];
  for (const [typed, step, grams] of reads) {
    it(`reads "${typed}" as ${grams} g`, () => assert.deepEqual(readGrams(typed, step), { ok: true, grams }));
  }

  const refuses: [string, number, RegExp][] = [
    ['', 1, /No reading/],
    ['0', 1, /anybody on the scale/],
    ['0.0', 0.1, /anybody on the scale/],
    ['1,050', 1, /two ways/],
    ['1.050', 1, /two ways/],
    ['1.05', 0.1, /one decimal at most/],
    ['98.', 0.1, /one digit after/],
    ['98.1', 1, /whole grams/],
    ['1.050,5', 0.1, /more than one mark/],
    ['abc', 1, /not a number/],
    ['98O', 1, /not a number/],
    ['1.05 kg', 1, /one kilogram is 1000/],
    ['-5', 1, /no sign/],
    ['\u22125', 1, /no sign/],
    ['98100', 1, /more than Gramwell can note/],
  ];
  for (const [typed, step, words] of refuses) {
    it(`asks about "${typed}" and keeps what was typed`, () => {
      const reading = readGrams(typed, step);
      assert.equal(reading.ok, false);
      assert.match(reading.ok ? '' : reading.say, words);
    });
  }
});

describe('several readings', () => {
  it('agree within one per cent, or two steps when that is more', () => {
    assert.equal(readingsAgree(896, 894), true);
    assert.equal(readingsAgree(1000, 1010), true);
    assert.equal(readingsAgree(1000, 1011), false);
    assert.equal(readingsAgree(34, 36), true);
    assert.equal(readingsAgree(34, 34.4, 0.1), false);
  });
  it('count by the middle one', () => {
    assert.equal(acceptedGrams([811, 796, 809]), 809);
    assert.equal(acceptedGrams([896, 894]), 895);
    assert.equal(acceptedGrams([34.1]), 34.1);
  });
});
