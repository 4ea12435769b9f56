import assert from 'node:assert/strict';
import { it } from 'node:test';
import { coloursIn, patchesIn, readCoat } from './coat';

it('reads colours in the order in which they are named', () => {
  assert.equal(coloursIn('dark brown, white saddle').length, 2);
  assert.notEqual(coloursIn('dark brown')[0], coloursIn('brown')[0]);
  assert.deepEqual(coloursIn('unheard-of'), []);
});
it('reads patches, and draws a plain animal plain', () => {
  assert.deepEqual(patchesIn('white belly'), ['belly']);
  assert.deepEqual(readCoat('guinea_pig', 'cream', null).patches, []);
});
it('draws an animal without a description in its species’ usual colour', () => {
  assert.equal(readCoat('rabbit', null, null).base, readCoat('rabbit', '', '').base);
});
