// Real and published series through `gramwell assess`: what it must say, and by which source (SOURCES.md).

import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { test } from 'node:test';
import { fileURLToPath } from 'node:url';

const here = dirname(fileURLToPath(import.meta.url));
const gramwell = process.env.GRAMWELL ?? assert.fail('GRAMWELL is not set: run by ctest');
const LEVELS = ['steady', 'watch', 'vet_soon', 'same_day', 'emergency'];
const rank = (row) => LEVELS.indexOf(row.level);

const iso = (day) => new Date(Date.UTC(2026, 0, 1) + day * 86400000).toISOString().slice(0, 10);

// One animal's weighings [day, grams] with what else is known of it; all verdicts as objects.
function assess(animals, events = []) {
  const columns = ['animal', 'at', 'grams', 'species', 'sex', 'birth', 'stage'];
  const lines = [columns.join(',')];
  for (const [name, a] of Object.entries(animals))
    for (const [day, grams] of a.series)
      lines.push([name, iso(day), grams, a.species, a.sex ?? '', a.birth === undefined ? '' : iso(a.birth), a.stage ?? ''].join(','));
  const args = ['assess', '-', '--format', 'json'];
  const options = { input: lines.join('\n') + '\n', encoding: 'utf8', maxBuffer: 1 << 26 };
  if (events.length) {
    // Two files: the events by a pipe of the shell's making would need a second process, so they go by /dev/fd.
    args.push('--events', '/dev/fd/3');
    const text = ['animal,event,from,to', ...events.map((e) => [e.animal, e.event, iso(e.from), ''].join(','))].join('\n') + '\n';
    return run(args, { ...options, events: text });
  }
  return run(args, options);
}

function run(args, { events, ...options }) {
  const child = events === undefined
    ? spawnSync(gramwell, args, options)
    : spawnSync('sh', ['-c', 'exec 3<<EOF\n' + events + 'EOF\nexec "$0" "$@"', gramwell, ...args], options);
  assert.equal(child.status, 0, child.stderr);
  const rows = JSON.parse(child.stdout);
  assert.ok(rows.length > 0);
  return rows;
}

const weekly = (grams) => grams.map((g, i) => [7 * i, g]);

// individual-series.csv: dataset, species, animal, group, study_day, weight_g, source
const data = readFileSync(join(here, 'individual-series.csv'), 'utf8').trim().split('\n').slice(1).map((line) => line.split(','));
const seriesOf = (dataset, animal) => data.filter((r) => r[0] === dataset && r[2] === String(animal)).map((r) => [Number(r[4]), Number(r[5])]);

test('30 young rats that only ever gain raise nothing (GELFAND)', () => {
  const animals = {};
  for (let i = 1; i <= 30; i++) animals[`rat ${i}`] = { species: 'rat', stage: 'young', series: seriesOf('rat_gelfand', i) };
  const rows = assess(animals);
  assert.equal(rows.length, 150);
  for (const r of rows) assert.equal(r.level, 'steady', `${r.animal} ${r.at}: ${r.reason}`);
});

test('28 g of 1000 g in a week is quiet (GLYNX)', () => {
  for (const stage of ['adult', '']) {
    const rows = assess({ a: { species: 'guinea_pig', stage, series: weekly([1000, 972]) } });
    assert.equal(rows[1].level, 'steady');
  }
});

test('a rabbit that lost 12 % in a week is urgent (WILKINSON; for rabbits from memory)', () => {
  const [, r] = assess({ a: { species: 'rabbit', series: weekly([2100, 1848]) } });
  assert.equal(r.level, 'same_day');
  assert.equal(r.kind, 'loss');
  assert.equal(r.change_pct, -12);
});

test('108 g of a rabbit of 5400 g is quiet: the gram rule is for guinea pigs (GLYNX)', () => {
  assert.equal(assess({ a: { species: 'rabbit', series: weekly([5400, 5292]) } })[1].level, 'steady');
});

test('5.0 % of a mouse is watched, at exactly 5 (WILKINSON)', () => {
  assert.equal(assess({ a: { species: 'mouse', stage: 'adult', series: weekly([30.0, 28.5]) } })[1].level, 'watch');
});

test('20.3 % of a mouse is an emergency (WILKINSON, UWASH)', () => {
  assert.equal(assess({ a: { species: 'mouse', stage: 'adult', series: weekly([30.0, 23.9]) } })[1].level, 'emergency');
});

test('20.0 % under the stable weight is an emergency, 19.9 % the band below, in any species (WILKINSON, UWASH)', () => {
  for (const [species, unit] of [['guinea_pig', 1], ['rabbit', 3], ['rat', 0.4], ['chinchilla', 0.5], ['mouse', 0.03]]) {
    const g = (thousandths) => Math.round(thousandths * unit * 1000) / 1000;
    const before = [1000, 1000, 1000, 1000, 1000, 1000, 930, 862].map(g);
    const over = assess({ a: { species, stage: 'adult', series: weekly([...before, g(800)]) } });
    const under = assess({ a: { species, stage: 'adult', series: weekly([...before, g(801)]) } });
    assert.equal(over[8].level, 'emergency', species);
    assert.equal(over[8].change_pct, -20, species);
    assert.equal(under[8].level, 'same_day', species);
    assert.equal(under[8].change_pct, -19.9, species);
  }
});

test('20 g a week escapes every weekly rule and not the trend, no later than week 6 (GLYNX: a pattern of loss)', () => {
  const rows = assess({ a: { species: 'guinea_pig', series: weekly([1100, 1080, 1060, 1040, 1020, 1000, 980]) } });
  assert.ok(rows.some((r) => rank(r) >= 2), JSON.stringify(rows));
  for (const r of rows) assert.doesNotMatch(r.reason, /customary limit/);
  assert.equal(rows[6].kind, 'loss');
});

test('guinea pig 1: urgent at week 6, and a small gain does not close it (CROWDERVITE, WILKINSON)', () => {
  const rows = assess({ a: { species: 'guinea_pig', series: seriesOf('gp_vitamin_e', 1) } });
  assert.deepEqual(rows.map((r) => r.grams), [455, 460, 510, 504, 436, 466]);
  assert.ok(rank(rows[4]) >= 3, JSON.stringify(rows[4]));
  assert.ok(rank(rows[5]) >= 1, JSON.stringify(rows[5]));
});

test('guinea pig 7: watched at week 5, steady at its new peak (CROWDERVITE, WILKINSON)', () => {
  const rows = assess({ a: { species: 'guinea_pig', series: seriesOf('gp_vitamin_e', 7) } });
  assert.equal(rows[3].grams, 484);
  assert.ok(rank(rows[3]) >= 1);
  assert.equal(rows[4].level, 'steady');
});

test('guinea pigs 9, 10 and 14 never fall and are quiet (CROWDERVITE)', () => {
  for (const animal of [9, 10, 14])
    for (const r of assess({ a: { species: 'guinea_pig', series: seriesOf('gp_vitamin_e', animal) } }))
      assert.equal(r.level, 'steady', `${animal}, ${r.grams} g: ${r.reason}`);
});

test('guinea pig 8: 1.5 % down once is quiet (CROWDERVITE, GLYNX)', () => {
  const rows = assess({ a: { species: 'guinea_pig', series: seriesOf('gp_vitamin_e', 8) } });
  assert.equal(rows[4].grams, 576);
  assert.equal(rows[4].level, 'steady');
});

test('rat 14: 2.8 % down once and made good is quiet (HANDCROWDER, WILKINSON)', () => {
  const rows = assess({ a: { species: 'rat', series: seriesOf('rat_hand_crowder', 14) } });
  assert.equal(rows.length, 11);
  for (const r of rows) assert.equal(r.level, 'steady', `${r.grams} g: ${r.reason}`);
});

test('of 16 adult rats over nine weeks not one asks for a vet (HANDCROWDER: none lost over 6 % in a week)', () => {
  const animals = {};
  for (let i = 1; i <= 16; i++) animals[`rat ${i}`] = { species: 'rat', stage: 'adult', series: seriesOf('rat_hand_crowder', i) };
  const rows = assess(animals);
  assert.equal(rows.length, 176);
  for (const r of rows) assert.ok(rank(r) < 2, `${r.animal} ${r.grams} g: ${r.reason}`);
});

test('a newborn guinea pig that loses for two days and then gains is quiet (GPNEO, weak)', () => {
  const rows = assess({ a: { species: 'guinea_pig', birth: 0, series: [[0, 98], [1, 95], [2, 92], [3, 96], [4, 103]] } });
  for (const r of rows) assert.equal(r.level, 'steady', `${r.grams} g: ${r.reason}`);
});

test('a newborn guinea pig that still loses on day 3 is not (GPNEO, weak)', () => {
  const rows = assess({ a: { species: 'guinea_pig', birth: 0, series: [[0, 98], [1, 94], [2, 90], [3, 86]] } });
  assert.ok(rank(rows[3]) >= 2, JSON.stringify(rows[3]));
});

test('a sow on the day after birth: quiet when the birth is recorded, an emergency when not (VETPEDIA by arithmetic)', () => {
  const sow = { species: 'guinea_pig', sex: 'female', stage: 'adult', series: [[0, 900], [67, 1750], [68, 1150]] };
  const mating = { animal: 'a', event: 'pregnant', from: 0 };
  const birth = { animal: 'a', event: 'gave_birth', from: 68 };
  assert.equal(assess({ a: sow }, [mating, birth])[2].level, 'steady');
  assert.equal(assess({ a: sow }, [birth])[2].level, 'steady');
  for (const events of [[mating], []]) {
    const r = assess({ a: sow }, events)[2];
    assert.equal(r.level, 'emergency', JSON.stringify(r));
  }
});
