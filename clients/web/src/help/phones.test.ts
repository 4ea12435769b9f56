import assert from 'node:assert/strict';
import { it } from 'node:test';
import { hoursIn, inHourOrder } from './phones';

const phones = [
  { name: 'night coordinator', number: '1', when: '22:00 to 07:00' },
  { name: 'coordinator', number: '2', when: '07:00 to 22:00' },
  { name: 'practice', number: '3', when: 'always' },
];
const at = (hour: number) => inHourOrder(phones, new Date(2026, 10, 24, hour)).map((phone) => phone.number);

it('puts the numbers that answer at this hour first, hours over midnight too', () => {
  assert.deepEqual(at(8), ['2', '3', '1']);
  assert.deepEqual(at(23), ['1', '3', '2']);
  assert.deepEqual(at(3), ['1', '3', '2']);
});
it('keeps the network’s order when no hours can be read', () => {
  assert.equal(hoursIn('ask first'), null);
  assert.deepEqual(hoursIn('8-18'), [8, 18]);
});
