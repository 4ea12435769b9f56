// The demo's seed was chosen, so its quiet proves little. Twenty other seeds, judged by `gramwell assess`: how often a
// healthy animal is sent to a vet, and how often the story's illnesses are found.

import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { WEEKS, eventsCsv, makeNetwork, today, weighingsCsv } from '../../demo/network.mjs';

const SEEDS = Array.from({ length: 20 }, (_, i) => 101 + i);
const LEVELS = ['steady', 'watch', 'vet_soon', 'same_day', 'emergency'];
const folder = mkdtempSync(join(tmpdir(), 'gramwell-seeds-'));
const until = today();
let falseAlerts = 0;
let years = 0;
const foundIn = {}; // story event -> seeds in which it was found

before(() => {
  for (const seed of SEEDS) {
    const net = makeNetwork({ seed, until });
    const [weighings, events] = ['weighings.csv', 'events.csv'].map((name) => join(folder, name));
    writeFileSync(weighings, weighingsCsv(net));
    writeFileSync(events, eventsCsv(net));
    const rows = JSON.parse(execFileSync(process.env.GRAMWELL, ['assess', weighings, '--events', events, '--format', 'json'], { encoding: 'utf8', maxBuffer: 1 << 28 }));
    judge(net, rows);
  }
});
after(() => rmSync(folder, { recursive: true }));

function judge(net, rows) {
  const serious = rows.filter((r) => LEVELS.indexOf(r.level) >= 2 && r.kind !== 'scale' && r.quality !== 'set_aside');
  // A slip that the form would have asked about is the story's, not the healthy animal's.
  const slipped = new Set(net.setAside.flatMap((s) => s.animals));
  const quiet = net.quiet.filter((key) => !slipped.has(key));
  years += (quiet.length * WEEKS * 7) / 365;
  for (const key of quiet) {
    let last = -Infinity;
    for (const r of serious.filter((x) => x.animal === key)) {
      const at = Date.parse(r.at) / 86400000;
      if (at - last >= 28) { // an alert counts again after 28 days
        falseAlerts++;
        last = at;
      }
    }
  }
  for (const e of net.events.filter((x) => x.animal && x.kind.some((k) => ['loss', 'stall', 'dental'].includes(k)) && !x.chance)) {
    const hit = rows.some((r) => r.animal === e.animal && e.kind.includes(r.kind) && LEVELS.indexOf(r.level) >= LEVELS.indexOf(e.least)
      && r.at.slice(0, 10) >= e.from_date && r.at.slice(0, 10) <= e.to_date);
    (foundIn[e.key] ??= []).push(hit);
  }
}

test('healthy animals are sent to a vet at most 0.25 times an animal-year', (t) => {
  t.diagnostic(`${falseAlerts} false alerts in ${years.toFixed(0)} animal-years`);
  assert.ok(years > 400, `only ${years} animal-years`);
  assert.ok(falseAlerts / years <= 0.25, `${falseAlerts} in ${years} animal-years`);
});

test('each illness of the story is found with at least seventeen seeds of twenty', (t) => {
  assert.ok(Object.keys(foundIn).length >= 5);
  for (const [key, hits] of Object.entries(foundIn)) {
    const n = hits.filter(Boolean).length;
    t.diagnostic(`${key}: ${n} of ${hits.length}`);
    assert.ok(n >= 17, `${key}: found with ${n} of ${hits.length} seeds`);
  }
});
