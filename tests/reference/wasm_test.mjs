// The phone's engine against the server's: 10,000 random series through both. Levels, kinds, reasons and the like must be
// equal; numbers to 1e-12 relative (absolute below one), because the two math libraries differ in the last place of exp and log.

import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';

const need = (name) => process.env[name] ?? assert.fail(`${name} is not set: run by ctest`);
const module = new WebAssembly.Module(readFileSync(need('TREND_WASM')));
const SERIES = 10000;
const FIELDS = 22;
const EXACT = 16; // fields from here on are enums and bits

// A generator of its own, so that a failure can be repeated.
let state = 20261125n;
const random = () => {
  state = (state * 6364136223846793005n + 1442695040888963407n) & 0xffffffffffffffffn;
  return Number(state >> 11n) / 2 ** 53;
};
const normal = () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
const adult = [1000, 2100, 380, 30, 115, 38, 80, 560, 235, 1200, 420, 700];

function makeSeries(k) {
  const species = (k % 12) - 1;
  const young = random() < 0.25;
  const fine = species === 3 || species === 5;
  const round = (g) => Math.max(0.1, fine ? Math.round(g * 10) / 10 : Math.round(g));
  const birth = young && random() < 0.6 ? -20 - 30 * random() : NaN;
  const n = 1 + Math.floor(random() * 70);
  const base = adult[(species + 12) % 12] * Math.exp(0.15 * normal());
  const onset = random() < 0.5 ? 7 * n * random() : Infinity;
  const pace = [0.004, 0.015, 0.05][Math.floor(random() * 3)];
  const events = [];
  if (random() < 0.2) events.push([7 * n * random(), NaN, 0]);
  if (random() < 0.2) events.push([Math.floor(7 * n * random()), NaN, 1]);
  if (random() < 0.2) events.push([Math.floor(7 * n * random()), NaN, 2]);
  const weighings = [];
  for (let i = 0, day = 0; i < n; i++, day += random() < 0.1 ? 1 + 30 * random() : 6 + 2 * random()) {
    let grams = base * Math.exp(0.016 * normal() - Math.max(0, (day - onset) / 7) * pace);
    if (young) grams *= Math.exp(-1.2 * Math.exp(-0.02 * day));
    grams = round(grams);
    const luck = random();
    if (luck < 0.03) grams = round(grams * [0.1, 10, 1.4, 0.8, 0.5][Math.floor(luck / 0.006)]);
    const second = random() < 0.1 ? round(grams * (1 + 0.02 * normal())) : NaN;
    weighings.push([day, Math.min(30000, grams), second, random() < 0.5 ? (fine ? 0.1 : 1) : NaN, random() < 0.9 ? 1 : 2,
      random() < 0.05 ? 1 : random() < 0.03 ? 2 : 0, random() < 0.8 ? 7 : 0, random() < 0.1 ? 1 + Math.floor(7 * random()) : 0]);
  }
  const subject = [birth, random() < 0.3 ? 0 : NaN, NaN, 0, species, Math.floor(3 * random()),
    young ? (Number.isNaN(birth) ? 1 : 0) : Math.floor(random() * 4)];
  return { subject, events, weighings };
}

const series = Array.from({ length: SERIES }, (_, k) => makeSeries(k));

function native() {
  const numbers = [SERIES];
  for (const s of series) numbers.push(...s.subject, s.events.length, s.weighings.length, ...s.events.flat(), ...s.weighings.flat());
  const run = spawnSync(need('TREND_DUMP'), { input: Buffer.from(Float64Array.from(numbers).buffer), maxBuffer: 1 << 28 });
  assert.equal(run.status, 0, run.stderr.toString());
  return new Float64Array(run.stdout.buffer.slice(run.stdout.byteOffset, run.stdout.byteOffset + run.stdout.length));
}

test('trend.wasm needs nothing from the page', () => {
  assert.equal(WebAssembly.Module.imports(module).length, 0);
});

test('trend.wasm and the native engine say the same of random series', () => {
  const x = new WebAssembly.Instance(module, {}).exports;
  const f64 = (at, n) => new Float64Array(x.memory.buffer, at, n);
  const expected = native();
  let at = 0, verdicts = 0, loud = 0, aside = 0, worst = 0;
  for (const [k, s] of series.entries()) {
    f64(x.tr_subject(), 7).set(s.subject);
    f64(x.tr_events(), s.events.length * 3).set(s.events.flat());
    f64(x.tr_weighings(), s.weighings.length * 8).set(s.weighings.flat());
    const status = x.tr_assess(s.events.length, s.weighings.length, 0);
    assert.equal(status, expected[at++], `series ${k}: status`);
    if (status !== 0) continue;
    const got = f64(x.tr_verdicts(), s.weighings.length * FIELDS);
    for (let i = 0; i < s.weighings.length; i++) {
      for (let f = 0; f < FIELDS; f++) {
        const a = got[i * FIELDS + f], b = expected[at + i * FIELDS + f], where = `series ${k}, weighing ${i}, field ${f}`;
        if (f >= EXACT) assert.equal(a, b, where);
        else if (Number.isNaN(b)) assert.ok(Number.isNaN(a), where);
        else {
          const off = Math.abs(a - b) / Math.max(1, Math.abs(b));
          worst = Math.max(worst, off);
          assert.ok(off <= 1e-12, `${where}: ${a} and ${b}`);
        }
      }
      verdicts++;
      if (got[i * FIELDS + 16] >= 2) loud++;
      if (got[i * FIELDS + 18] === 2) aside++;
    }
    at += s.weighings.length * FIELDS;
  }
  assert.equal(at, expected.length);
  assert.ok(verdicts > 50000, `${verdicts} verdicts`);
  assert.ok(loud > 1000 && aside > 500, `the series must try all branches: ${loud} loud, ${aside} set aside`);
  console.log(`${verdicts} verdicts, largest relative difference ${worst}`);
});
