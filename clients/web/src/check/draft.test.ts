import assert from 'node:assert/strict';
import { describe, it } from 'node:test';
import type { Catalogue, Sign } from '../api/types';
import * as d from './draft';

const sign = (code: string, region: string, of: Partial<Sign> = {}): Sign => ({
  code,
  region,
  species: null,
  level: 'vet_soon',
  words: code,
  hint: null,
  group: null,
  vet_only_normal: false,
  usual: false,
  ...of,
});
const catalogue: Catalogue = {
  version: '1',
  regions: [
    { code: 'teeth', position: 3, name: 'Teeth' },
    { code: 'eyes', position: 1, name: 'Eyes' },
    { code: 'ears', position: 2, name: 'Ears' },
  ],
  species: [],
  signs: [
    sign('weepy', 'eyes'),
    sign('grit', 'eyes', { species: ['guinea_pig'] }),
    sign('wax', 'ears', { level: 'steady' }),
    sign('drool', 'teeth', { level: 'same_day', group: 'chin' }),
    sign('long', 'teeth', { group: 'teeth' }),
    sign('drops', 'teeth', { group: 'food' }),
  ],
};
const regions = d.regionsOf(catalogue, 'rabbit');
const draft = () =>
  d.begin({
    id: 'c',
    animal: 'a',
    person: 'p',
    home: 'h',
    kind: 'weekly',
    at: new Date('2026-11-24T08:00:00Z'),
    first: 'eyes',
  });
const weepy = catalogue.signs[0] as Sign;
const drool = catalogue.signs[3] as Sign;

describe('a check in the order of the hands', () => {
  it('goes by position, and the weight comes last', () => {
    assert.deepEqual(
      regions.map((region) => region.code),
      ['eyes', 'ears', 'teeth'],
    );
    assert.equal(d.stepAfter('eyes', regions), 'ears');
    assert.equal(d.stepAfter('teeth', regions), 'weight');
    assert.equal(d.stepBefore('weight', regions), 'teeth');
    assert.equal(d.stepBefore('eyes', regions), null);
  });
  it('offers a sign only to its species', () => {
    assert.deepEqual(
      d.signsOf(catalogue, 'rabbit', 'eyes').map((each) => each.code),
      ['weepy'],
    );
    assert.deepEqual(
      d.signsOf(catalogue, 'guinea_pig', 'eyes').map((each) => each.code),
      ['weepy', 'grit'],
    );
  });
  it('takes silence as open, never as usual', () => {
    assert.equal(d.openRegions(draft(), regions).length, 3);
    assert.deepEqual(d.bodyOf(draft(), new Date('2026-11-24T08:02:00Z')).answers, {});
  });
  it('has findings in a region exactly while a sign is ticked there', () => {
    const ticked = d.toggleSign(draft(), catalogue, weepy);
    assert.equal(ticked.answers.eyes, 'findings');
    assert.deepEqual(ticked.findings, [{ sign: 'weepy', grade: 'slight' }]);
    const unticked = d.toggleSign(ticked, catalogue, weepy);
    assert.equal(unticked.answers.eyes, undefined);
    assert.deepEqual(unticked.findings, []);
    const answered = d.answer(ticked, catalogue, 'eyes', 'as_usual');
    assert.deepEqual(answered.findings, []);
  });
  it('fills only what is open with one press', () => {
    const ticked = d.answer(d.toggleSign(draft(), catalogue, weepy), catalogue, 'ears', 'not_looked_at');
    assert.deepEqual(d.restAsUsual(ticked, regions).answers, {
      eyes: 'findings',
      ears: 'not_looked_at',
      teeth: 'as_usual',
    });
  });
});

describe('what counts of the mouth', () => {
  it('is looked at when its region was answered, and seen unless it is usual for this animal', () => {
    const none = d.mouthOf(draft(), catalogue, new Map());
    assert.deepEqual(none, { looked: 0, seen: 0 });
    const looked = d.mouthOf(d.answer(draft(), catalogue, 'teeth', 'as_usual'), catalogue, new Map());
    assert.deepEqual(looked, { looked: d.MOUTH_TEETH | d.MOUTH_CHIN | d.MOUTH_FOOD, seen: 0 });
    const not = d.mouthOf(d.answer(draft(), catalogue, 'teeth', 'not_looked_at'), catalogue, new Map());
    assert.equal(not.looked, 0);
    const wet = d.toggleSign(draft(), catalogue, drool);
    assert.equal(d.mouthOf(wet, catalogue, new Map()).seen, d.MOUTH_CHIN);
    assert.equal(d.mouthOf(wet, catalogue, new Map([['drool', 'slight']])).seen, 0);
    const marked = d.changeFinding(wet, 'drool', { grade: 'marked' });
    assert.equal(d.mouthOf(marked, catalogue, new Map([['drool', 'slight']])).seen, d.MOUTH_CHIN);
  });
  it('has its own level beside the weight', () => {
    assert.equal(d.signsLevel(d.toggleSign(draft(), catalogue, drool), catalogue, new Map()), 'same_day');
    assert.equal(d.signsLevel(draft(), catalogue, new Map()), 'steady');
  });
});

describe('another reading', () => {
  const agree = (a: number, b: number) => Math.abs(a - b) <= 9;
  it('is asked for when the engine doubts the first, until the person says it is right', () => {
    assert.equal(d.wantsReading({ readings: [896], confirmed: false }, { ask_second: true }, agree), 'second');
    assert.equal(d.wantsReading({ readings: [896], confirmed: true }, { ask_second: true }, agree), null);
    assert.equal(d.wantsReading({ readings: [896], confirmed: false }, { ask_second: false }, agree), null);
    assert.equal(d.wantsReading({ readings: [896], confirmed: false }, null, agree), null);
  });
  it('is asked for a third time when two disagree', () => {
    assert.equal(d.wantsReading({ readings: [896, 894], confirmed: false }, { ask_second: true }, agree), null);
    assert.equal(d.wantsReading({ readings: [896, 869], confirmed: false }, null, agree), 'third');
    assert.equal(d.wantsReading({ readings: [896, 869, 894], confirmed: false }, null, agree), null);
  });
});

describe('the body that is sent', () => {
  it('has the answers, the findings and every reading', () => {
    let it = d.changeFinding(d.toggleSign(draft(), catalogue, weepy), 'weepy', {
      side: 'left',
      note: '  since Sunday ',
    });
    it = { ...d.restAsUsual(it, regions), scale: 's', zeroed: true, readings: [896, 894] };
    assert.deepEqual(d.bodyOf(it, new Date('2026-11-24T08:02:10Z')), {
      animal: 'a',
      home: 'h',
      kind: 'weekly',
      at: '2026-11-24T08:02:10.000Z',
      minutes: 2,
      answers: { eyes: 'findings', ears: 'as_usual', teeth: 'as_usual' },
      findings: [{ sign: 'weepy', grade: 'slight', side: 'left', note: 'since Sunday' }],
      weighing: { scale: 's', readings: [896, 894], zeroed: true, confirmed: false },
    });
  });
  it('has no answers when only the weight was taken', () => {
    const body = d.bodyOf(
      { ...draft(), kind: 'weigh_only', answers: { eyes: 'as_usual' }, scale: 's', readings: [896] },
      new Date('2026-11-24T13:00:00Z'),
    );
    assert.deepEqual(body.answers, {});
    assert.deepEqual(body.findings, []);
    assert.equal(body.minutes, 180);
  });
});
