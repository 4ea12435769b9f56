// `gramwell assess`: what it takes, what it refuses and how it says so. What it thinks of weights is tested in
// tests/reference and tests/unit/trend.

import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { after, test } from 'node:test';

const gramwell = process.env.GRAMWELL ?? assert.fail('GRAMWELL is not set: run by ctest');
const folder = mkdtempSync(join(tmpdir(), 'gramwell-assess-'));
after(() => rmSync(folder, { recursive: true }));

const file = (name, text) => {
  const path = join(folder, name);
  writeFileSync(path, text);
  return path;
};
const run = (args, input = '') => spawnSync(gramwell, ['assess', ...args], { input, encoding: 'utf8', maxBuffer: 1 << 26 });
const rows = (input, ...args) => {
  const child = run(['-', '--format', 'json', ...args], input);
  assert.equal(child.status, 0, child.stderr);
  assert.equal(child.stderr, '');
  return JSON.parse(child.stdout);
};
// The input is refused with status 2 and these lines, no more and no fewer.
const refused = (input, ...patterns) => {
  const child = run(['-'], input);
  assert.equal(child.status, 2, child.stdout);
  const lines = child.stderr.trimEnd().split('\n');
  assert.equal(lines.length, patterns.length, child.stderr);
  patterns.forEach((pattern, i) => assert.match(lines[i], pattern));
};

const header = 'animal,at,grams,expected,low,high,change_pct,slope_pct_week,level,kind,quality,reason';

test('one row a weighing, in the order of the input, all columns', () => {
  const child = run(['-'], 'animal,at,grams\nBiscuit,2026-01-01,1000\nNugget,2026-01-01,31.5\nBiscuit,2026-01-08,995\n');
  assert.equal(child.status, 0, child.stderr);
  const lines = child.stdout.trimEnd().split('\n');
  assert.equal(lines[0], header);
  assert.deepEqual(lines.slice(1).map((l) => l.split(',').slice(0, 3).join()), ['Biscuit,2026-01-01,1000', 'Nugget,2026-01-01,31.5', 'Biscuit,2026-01-08,995']);
  assert.match(lines[1], /^Biscuit,2026-01-01,1000,,,,,,steady,none,plain,/);
});

test('columns may stand in any order, the file may have a byte order mark and line ends of either kind', () => {
  const plain = rows('animal,at,grams,species\nA,2026-01-01,1000,guinea_pig\nA,2026-01-08,900,guinea_pig\n');
  const other = rows('\ufeffgrams,species,at,animal\r\n1000,guinea_pig,2026-01-01,A\r\n900,guinea_pig,2026-01-08,A');
  assert.deepEqual(other, plain);
});

test('quoted fields may hold commas, quotes and line breaks, and come out as they went in', () => {
  const name = 'Lady "Pip", of\nthe shed';
  const quoted = '"Lady ""Pip"", of\nthe shed"';
  const child = run(['-'], `animal,at,grams\n${quoted},2026-01-01,1000\n`);
  assert.equal(child.status, 0, child.stderr);
  assert.ok(child.stdout.includes(`\n${quoted},2026-01-01,1000,`), child.stdout);
  assert.equal(rows(`animal,at,grams\n${quoted},2026-01-01,1000\n`)[0].animal, name);
});

test('a line is counted right behind a field with line breaks', () => {
  refused('animal,at,grams\n"a\nb",2026-01-01,5\nc,2026-01-01,x\n', /^standard input:4: grams: "x" is no number/);
});

test('JSON has every column, null where nothing is known', () => {
  const [r] = rows('animal,at,grams\nA,2026-01-01,1000\n');
  assert.deepEqual(Object.keys(r), header.split(','));
  assert.equal(r.expected, null);
  assert.equal(r.grams, 1000);
  assert.equal(r.at, '2026-01-01');
});

test('a file without weighings is a header, or an empty list', () => {
  assert.equal(run(['-'], 'animal,at,grams\n').stdout, `${header}\n`);
  assert.deepEqual(rows('animal,at,grams\n'), []);
});

test('a decimal comma is refused, and so is all that is no plain number', () => {
  refused('animal,at,grams\nA,2026-01-01,"1,5"\n', /^standard input:2: grams: "1,5" is no number.*decimal point.*not a decimal comma/);
  for (const wrong of ['', 'abc', '1e3', '-5', '+5', '0x10', '5.', '.5', '5 g', 'nan', 'inf', ' 5'])
    refused(`animal,at,grams\nA,2026-01-01,${wrong}\n`, /^standard input:2: grams: .* is no number, expected digits/);
});

test('a weight outside 0.1 to 30000 g is refused', () => {
  refused('animal,at,grams\nA,2026-01-01,0\nA,2026-01-02,30000.1\n', /^standard input:2: grams: is 0, expected 0\.1 to 30000 g$/, /^standard input:3: grams: is 30000\.1, expected/);
});

test('all faults are named with line and column', () => {
  refused('animal,at,grams,species,sex,stage,birth\n,2026-01-01,5,,,,\nA,2026-02-30,5,,,,\nA,2026-01-01,5,unicorn,,,\nA,2026-01-01,5,rat,x,old,soon\n',
    /^standard input:2: animal: is empty/,
    /^standard input:3: at: "2026-02-30" is no date, expected 2026-03-01 or/,
    /^standard input:4: species: "unicorn" is unknown, expected guinea_pig, rabbit/,
    /^standard input:5: sex: "x" is unknown, expected female/,
    /^standard input:5: stage: "old" is unknown, expected young/,
    /^standard input:5: birth: "soon" is no date, expected such as/);
});

test('dates and date-times by RFC 3339', () => {
  for (const at of ['2026-01-01', '2024-02-29', '2026-01-01T18:30:00Z', '2026-01-01t18:30:00.25+01:00', '2026-01-01 18:30:00-23:59'])
    assert.equal(rows(`animal,at,grams\nA,${at},5\n`)[0].at, at);
  for (const at of ['2026-1-1', '01.02.2026', '2023-02-29', '2026-01-01T18:30', '2026-01-01T25:00:00Z', '2026-01-01T18:30:00', '2026-01-01T18:30:00+1', '20260101', '2026-13-01'])
    refused(`animal,at,grams\nA,${at},5\n`, /^standard input:2: at: .* is no date/);
});

test('an animal whose rows run backwards in time is refused, by the instant and not by the text', () => {
  refused('animal,at,grams\nA,2026-01-08,5\nA,2026-01-01,5\n', /^standard input:3: at: 2026-01-01 is earlier than the row before of "A"/);
  assert.equal(rows('animal,at,grams\nA,2026-01-01T10:00:00+02:00,5\nA,2026-01-01T09:00:00Z,5\n').length, 2);
  refused('animal,at,grams\nA,2026-01-01T10:00:00Z,5\nA,2026-01-01T11:00:00+02:00,5\n', /^standard input:3: at: /);
});

test('an animal keeps its species', () => {
  refused('animal,at,grams,species\nA,2026-01-01,900,guinea_pig\nA,2026-01-08,900,\nA,2026-01-15,900,rabbit\n',
    /^standard input:4: species: "A" was guinea_pig before and is rabbit here/);
});

test('the header is checked', () => {
  refused('', /^standard input:1: the file is empty, expected a header/);
  refused('animal,at\n', /^standard input:1: grams: this column is missing/);
  refused('animal,at,grams,weight\n', /^standard input:1: column "weight" is unknown, expected animal, at, grams/);
  refused('animal,at,grams,at\n', /^standard input:1: at: this column stands there twice/);
  const child = run(['-'], 'animal;at;grams\n');
  assert.equal(child.status, 2);
  assert.match(child.stderr, /parted by commas/);
});

test('a row with too few or too many fields, an empty one, an open quote', () => {
  refused('animal,at,grams\nA,2026-01-01\n', /^standard input:2: has 2 fields, the header has 3$/);
  refused('animal,at,grams\n\n', /^standard input:2: is empty, expected 3 fields$/);
  refused('animal,at,grams\n"A,2026-01-01,5\n', /^standard input:2: a quoted field is not closed$/);
  refused('animal,at,grams\n"A"b,2026-01-01,5\n', /^standard input:2: text after a closing quote/);
  refused('animal,at,grams\nA"b,2026-01-01,5\n', /^standard input:2: a quote inside a field/);
});

test('bytes that are no text are refused', () => {
  const child = spawnSync(gramwell, ['assess', '-'], { input: Buffer.from('animal,at,grams\nA\xff,2026-01-01,5\n', 'latin1'), encoding: 'utf8' });
  assert.equal(child.status, 2);
  assert.match(child.stderr, /^standard input:2: is not UTF-8/);
  const zero = spawnSync(gramwell, ['assess', '-'], { input: 'animal,at,grams\nA\0B,2026-01-01,5\n', encoding: 'utf8' });
  assert.equal(zero.status, 2);
  assert.match(zero.stderr, /^standard input:2: holds a zero byte/);
});

test('signs have their own level, and an unknown code is named', () => {
  const level = (signs) => rows(`animal,at,grams,species,signs\nA,2026-01-01,1000,guinea_pig,${signs}\n`)[0];
  assert.equal(level('').level, 'steady');
  assert.equal(level('?').level, 'steady');
  assert.equal(level('maggots').level, 'emergency');
  assert.equal(level('maggots').kind, 'finding');
  assert.equal(level('drool').level, 'same_day');
  assert.equal(level('drool').kind, 'dental');
  assert.equal(level('nails_long; drool').level, 'same_day');
  assert.match(level('drool').reason, /^Seen: wet chin, chest or forelegs\./);
  assert.equal(level('spur').level, 'steady');
  refused('animal,at,grams,signs\nA,2026-01-01,5,drool;horns\n', /^standard input:2: signs: "horns" is unknown, expected codes/);
});

test('wet chin, hay left and 4 % down in a week go to the dentist the same day', () => {
  const list = rows(['animal,at,grams,species,stage,signs', ...[1000, 1004, 998, 1001].map((g, i) => `A,2026-01-0${1 + 2 * i},${g},guinea_pig,adult,`),
    'A,2026-01-14,960,guinea_pig,adult,drool;selective'].join('\n'));
  assert.equal(list[4].level, 'same_day');
  assert.equal(list[4].kind, 'dental');
});

test('events come from a second file, and are checked like the first', () => {
  const sow = 'animal,at,grams,species,sex,stage\nA,2026-01-01,900,guinea_pig,female,adult\nA,2026-03-09,1750,guinea_pig,female,adult\nA,2026-03-10,1150,guinea_pig,female,adult\n';
  const born = file('born.csv', 'from,animal,event\n2026-03-10,A,gave_birth\n2026-01-01,A,pregnant\n');
  assert.equal(rows(sow)[2].level, 'emergency');
  const [, , r] = rows(sow, '--events', born);
  assert.equal(r.level, 'steady');
  assert.match(r.reason, /A birth is recorded/);
  const wrong = file('wrong.csv', 'animal,event,from,to\nA,moulted,2026-03-10,\nA,surgery,,\nA,surgery,2026-03-10,2026-03-01\n');
  const child = run(['-', '--events', wrong], sow);
  assert.equal(child.status, 2);
  assert.match(child.stderr, /wrong\.csv:2: event: "moulted" is unknown, expected pregnant.*\n.*wrong\.csv:3: from: is empty.*\n.*wrong\.csv:4: to: is before/);
});

// Four sows of one home and scale, weighed within the hour; on the ninth day with the bowl's 180 g.
const session = (order) => {
  const lines = [];
  const usual = { Ada: 900, Bea: 1010, Cleo: 1120, Dora: 850 };
  for (const [k, [name, grams]] of Object.entries(usual).entries())
    for (let week = 0; week < 10; week++) {
      const day = new Date(Date.UTC(2026, 0, 5 + 7 * week, 10, 10 * k)).toISOString().replace('.000', '');
      const wobble = ((week * 7 + k * 3) % 11) - 5;
      lines.push(`${name},${day},${grams + wobble + (week === 8 ? 180 : 0)},guinea_pig,adult,shed,kitchen scale`);
    }
  if (order === 'time') lines.sort((a, b) => (a.split(',')[1] < b.split(',')[1] ? -1 : 1));
  return ['animal,at,grams,species,stage,home,scale', ...lines].join('\n') + '\n';
};

test('a bowl not at zero is found in its session, whatever the order of the rows', () => {
  const byAnimal = rows(session('animal'));
  const byTime = rows(session('time'));
  const key = (r) => `${r.animal} ${r.at}`;
  const sorted = (list) => [...list].sort((a, b) => (key(a) < key(b) ? -1 : 1));
  assert.deepEqual(sorted(byTime), sorted(byAnimal));
  assert.equal(byAnimal.length, 40);
  const wrong = byAnimal.filter((r) => r.quality === 'set_aside');
  assert.equal(wrong.length, 4);
  for (const r of wrong) {
    assert.equal(r.kind, 'scale');
    assert.match(r.at, /^2026-03-02/);
    assert.match(r.reason, /bowl was most likely not at zero/);
  }
  for (const r of byAnimal.filter((x) => x.at > '2026-03-03')) assert.equal(r.level, 'steady', `${key(r)}: ${r.reason}`);
});

test('a file in order of time is read twice and says the same as a pipe, and so does any other file', () => {
  for (const order of ['time', 'animal']) {
    const text = session(order);
    const child = run([file(`${order}.csv`, text), '--format', 'json']);
    assert.equal(child.status, 0, child.stderr);
    assert.deepEqual(JSON.parse(child.stdout), rows(text));
  }
  const child = run([file('fault.csv', session('time') + 'Ada,2027-01-01,x,guinea_pig,adult,shed,kitchen scale\n')]);
  assert.equal(child.status, 2);
  assert.equal(child.stderr.trimEnd().split('\n').length, 1, child.stderr);
  assert.match(child.stderr, /fault\.csv:42: grams: "x" is no number/);
});

test('without a scale there is no session', () => {
  const list = rows(session('animal').replaceAll('kitchen scale', ''));
  assert.equal(list.filter((r) => r.kind === 'scale').length, 0);
});

test('wrong arguments', () => {
  for (const args of [[], ['a.csv', 'b.csv'], ['--colour', 'a.csv'], ['a.csv', '--format', 'xml'], ['a.csv', '--events'], ['-', '--events', '-'], ['/nowhere/at/all.csv']])
    assert.equal(run(args).status, 2, args.join(' '));
  assert.equal(run(['--help']).status, 0);
  assert.match(run(['--help']).stdout, /not a diagnosis/);
  assert.match(run(['/nowhere/at/all.csv']).stderr, /No such file/);
});
