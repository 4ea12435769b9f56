// assess --plot: the chart is well-formed XML, holds what the engine said, and takes any name.

import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { after, test } from 'node:test';

const gramwell = process.env.GRAMWELL ?? assert.fail('GRAMWELL is not set: run by ctest');
const folder = mkdtempSync(join(tmpdir(), 'gramwell-plot-'));
after(() => rmSync(folder, { recursive: true }));
const run = (args, input) => spawnSync(gramwell, ['assess', ...args], { input, encoding: 'utf8' });

const name = 'Bo <&"> b';
const field = `"${name.replaceAll('"', '""')}"`;
const grams = [1002, 998, 1010, 1005, 105, 1001, 1007, 930, 850];
const lines = grams.map((g, i) => `${field},${new Date(Date.UTC(2026, 0, 1 + 7 * i)).toISOString().slice(0, 10)},${g},guinea_pig,adult`);
const input = ['animal,at,grams,species,stage', ...lines, 'Other,2026-03-01,733,guinea_pig,adult'].join('\n') + '\n';

// Every tag closed in its order, every attribute quoted, no bare markup in text. Returns the names of the tags.
function wellFormed(svg) {
  const open = [], seen = [];
  let at = 0;
  for (const m of svg.matchAll(/<(\/?)([a-z]+)((?:\s+[a-zA-Z:-]+="[^"<]*")*)\s*(\/?)>/g)) {
    assert.doesNotMatch(svg.slice(at, m.index).replace(/&(lt|gt|amp|quot);/g, ''), /[<>&]/);
    at = m.index + m[0].length;
    if (m[1]) assert.equal(open.pop(), m[2]);
    else {
      seen.push(m[2]);
      if (!m[4]) open.push(m[2]);
    }
  }
  assert.deepEqual(open, []);
  assert.equal(svg.slice(at).trim(), '');
  return seen;
}
const count = (svg, pattern) => [...svg.matchAll(pattern)].length;

test('the chart holds series, band, own level, rings and alert marks', () => {
  const child = run(['-', '--plot', name], input);
  assert.equal(child.status, 0, child.stderr);
  const seen = wellFormed(child.stdout);
  assert.equal(seen[0], 'svg');
  const verdicts = JSON.parse(run(['-', '--format', 'json'], input).stdout).filter((r) => r.animal === name);
  const aside = verdicts.filter((v) => v.quality === 'set_aside');
  const loud = verdicts.filter((v) => v.level !== 'steady' && v.quality !== 'set_aside');
  assert.ok(aside.length > 0 && loud.length > 0, 'the series must try both');
  assert.equal(count(child.stdout, /class="aside"/g), aside.length);
  assert.equal(count(child.stdout, /class="(dot|doubt)"/g), grams.length - aside.length);
  assert.deepEqual([...child.stdout.matchAll(/data-level="([a-z_]+)"/g)].map((m) => m[1]), loud.map((v) => v.level));
  for (const part of ['band', 'own', 'thread', 'axis', 'line']) assert.match(child.stdout, new RegExp(`<path class="${part}"`));
  assert.match(child.stdout, /105 g/);
  assert.match(child.stdout, /<title id="title">Bo &lt;&amp;&quot;&gt; b, weight over 8 weeks<\/title>/);
  assert.doesNotMatch(child.stdout, /733|@font-face|https?:\/\/(?!www\.w3\.org\/2000\/svg)/);
});

test('one weighing is a chart too, and sessions draw the same', () => {
  wellFormed(run(['-', '--plot', 'Other'], input).stdout);
  const scaled = input.trimEnd().split('\n').map((l, i) => `${l},${i ? 's' : 'scale'}`).join('\n') + '\n';
  assert.equal(run(['-', '--plot', name], scaled).stdout, run(['-', '--plot', name], input).stdout);
});

test('--output names the file, an unknown animal and a format are refused', () => {
  const path = join(folder, 'chart.svg');
  const child = run(['-', '--plot', name, '--output', path], input);
  assert.equal(child.status, 0, child.stderr);
  assert.equal(child.stdout, '');
  assert.equal(readFileSync(path, 'utf8'), run(['-', '--plot', name], input).stdout);
  for (const [args, pattern] of [
    [['--plot', 'Nobody'], /no animal "Nobody"/],
    [['--plot', name, '--format', 'csv'], /has no --format/],
    [['--output', path], /--output is for the chart/],
  ]) {
    const wrong = run(['-', ...args], input);
    assert.equal(wrong.status, 2);
    assert.match(wrong.stderr, pattern);
  }
});
