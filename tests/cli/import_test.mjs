// gramwell import, queue and sign-in against a real server: what is sent, what is refused, and in which words.

import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { need, passphrase, root, startGramwell } from '../support/gramwell.mjs';
import { REGIONS, addCheck, addHome } from '../support/world.mjs';

const folder = mkdtempSync(join(tmpdir(), 'gramwell-cli-'));
let g;
let home;
let plum;
let tokenFile;

function gramwell(args, { env = {}, input = '' } = {}) {
  const clean = { PATH: process.env.PATH, HOME: folder, ...(process.env.ASAN_OPTIONS ? { ASAN_OPTIONS: process.env.ASAN_OPTIONS } : {}) };
  return spawnSync(need('GRAMWELL'), args, { env: { ...clean, GRAMWELL_SERVER: g.url, GRAMWELL_TOKEN: g.desk.token, ...env }, input, encoding: 'utf8' });
}
function sheet(name, ...lines) {
  const path = join(folder, name);
  writeFileSync(path, `${lines.join('\n')}\n`);
  return path;
}
const HEAD = `animal,at,kind,grams,scale,zeroed,note,${REGIONS.join(',')}`;
const usual = (changes = {}) => REGIONS.map((r) => changes[r] ?? 'as_usual').join(',');
const day = (n) => new Date(Date.now() - n * 86400000).toISOString().replace(/\.\d+Z/, 'Z');
const count = (sql) => Number(g.psql(sql));

before(async () => {
  g = await startGramwell('cli');
  home = await addHome(g.desk, { name: 'Plum lane' });
  plum = await addCheck(g.desk, home, { name: 'Plum', grams: 1003, days: 60 });
  tokenFile = join(folder, 'token');
});
after(async () => {
  assert.equal(await g?.stop(), 0, 'the server ended badly');
  rmSync(folder, { recursive: true });
});

test('a sound file is sent, and sending it again changes nothing', () => {
  const file = sheet('sound.csv', HEAD,
    `${plum.tag},${day(50)},weekly,1001,kitchen scale,yes,"first, with a comma",${usual()}`,
    `${plum.tag.toLowerCase()},${day(43)},weekly,998;1000,kitchen scale,yes,,${usual({ teeth: 'drool:slight', eyes: 'weepy:marked:left' })}`,
    `${plum.tag},${day(40)},weigh_only,1002,kitchen scale,no,,${REGIONS.map(() => '').join(',')}`);
  const first = gramwell(['import', file]);
  assert.equal(first.status, 0, first.stderr);
  assert.match(first.stdout, /^3 sent, 0 there already, 0 refused; \d raised or joined an alert$/m);
  const again = gramwell(['import', file]);
  assert.equal(again.status, 0, again.stderr);
  assert.match(again.stdout, /^0 sent, 3 there already, 0 refused/m);
  assert.equal(count(`select count(*) from gw.check where animal = '${plum.animal}'`), 4);
  assert.equal(g.psql(`select grams from gw.check where animal = '${plum.animal}' and array_length(readings, 1) = 2`), '999.0');
  assert.equal(g.psql(`select sign || ' ' || grade || ' ' || coalesce(side, '-') from gw.finding where animal = '${plum.animal}' order by sign`), 'drool slight -\nweepy marked left');
});

test('a row that was sent before with another weight is refused and named; the others go through', () => {
  const file = sheet('changed.csv', HEAD,
    `${plum.tag},${day(50)},weekly,1001,kitchen scale,yes,"first, with a comma",${usual()}`,
    `${plum.tag},${day(36)},weigh_only,1000,kitchen scale,yes,,${REGIONS.map(() => '').join(',')}`);
  const body = readFileSync(file, 'utf8');
  assert.equal(gramwell(['import', file]).status, 0);
  writeFileSync(file, body.replace(',1000,', ',1010,'));
  const result = gramwell(['import', file]);
  assert.equal(result.status, 1);
  assert.match(result.stderr, /changed\.csv:3: 409 /);
  assert.match(result.stdout, /^0 sent, 1 there already, 1 refused/m);
});

test('every fault of the file is told with line and column, and nothing is sent', () => {
  const before = count('select count(*) from gw.check');
  const file = sheet('faults.csv', HEAD,
    `ZZZZZ,${day(20)},weekly,1000,kitchen scale,yes,,${usual()}`,
    `${plum.tag},yesterday,weekly,"1000,5",kitchen scale,yes,,${usual()}`,
    `${plum.tag},${day(19)},monthly,0.01,kitchen scale,perhaps,,${usual()}`,
    `${plum.tag},${day(18)},weekly,1000,another scale,yes,,${usual({ feet: '' })}`,
    `${plum.tag},${day(17)},weekly,1000,kitchen scale,yes,,${usual({ teeth: 'drool', eyes: 'drool:slight', ears: 'crust:slight:middle' })}`,
    `${plum.tag},${day(16)},weigh_only,,kitchen scale,,,${usual()}`,
    `${plum.tag},${day(15)},weekly,1000,kitchen scale,yes,,${usual()}`,
    `${plum.tag},${day(15)},weekly,1001,kitchen scale,yes,,${usual()}`);
  const result = gramwell(['import', file]);
  assert.equal(result.status, 2);
  for (const words of [/faults\.csv:2: animal: "ZZZZZ"/, /:3: at: "yesterday"/, /:3: grams: "1000,5" has a comma/, /:4: kind: "monthly"/,
    /:4: grams: "0\.01"/, /:4: zeroed: "perhaps"/, /:5: scale: "another scale"/, /:5: feet: is empty/, /:6: teeth: "drool" needs its grade/,
    /:6: eyes: "drool"/, /:6: ears: "middle"/, /:7: grams: is empty/, /nothing was sent/]) assert.match(result.stderr, words);
  assert.doesNotMatch(result.stderr, /:8:/);
  assert.equal(count('select count(*) from gw.check'), before);
});

test('two rows that would be one check are told', () => {
  const row = `${plum.tag},${day(14)},weigh_only,1000,kitchen scale,yes`;
  const result = gramwell(['import', sheet('twice.csv', 'animal,at,kind,grams,scale,zeroed', row, row)]);
  assert.equal(result.status, 2);
  assert.match(result.stderr, /twice\.csv:3: is the same animal, time and kind as line 2/);
});

test('a dry run judges everything and sends nothing', () => {
  const before = count('select count(*) from gw.check');
  const result = gramwell(['import', '--dry-run', sheet('dry.csv', 'animal,at,kind,grams,scale,zeroed', `${plum.tag},${day(13)},weigh_only,1000,kitchen scale,yes`)]);
  assert.equal(result.status, 0, result.stderr);
  assert.match(result.stdout, /^1 checks are sound; nothing was sent$/m);
  assert.equal(count('select count(*) from gw.check'), before);
});

// The form of the file: [name, bytes, the words]
const good = () => `${plum.tag},${day(12)},weigh_only,1000,kitchen scale,yes`;
const forms = [
  ['semicolons', () => 'animal;at;kind\nx;y;z\n', /1: the fields are parted by ';'/],
  ['ragged', () => `animal,at,kind,grams,scale,zeroed\n${good()},\n`, /2: has 7 fields, the header has 6/],
  ['an empty line', () => `animal,at,kind,grams,scale,zeroed\n\n${good()}\n`, /2: is empty/],
  ['an empty file', () => '', /1: the file is empty/],
  ['not UTF-8', () => Buffer.from([0x61, 0x2c, 0xe9, 0x0a]), /1: is not UTF-8/],
  ['UTF-16', () => Buffer.from('animal,at\n', 'utf16le'), /1: holds a zero byte/],
  ['an open quote', () => 'animal,at,kind\n"x,y,z\n', /2: a quoted field is not closed/],
  ['text after a quote', () => 'animal,at,kind\n"x"y,1,2\n', /2: text after a closing quote/],
  ['a quote in the middle', () => 'animal,at,kind\nx"y,1,2\n', /2: a quote inside a field/],
  ['a column twice', () => 'animal,at,kind,at\n', /1: at: this column stands there twice/],
  ['an unknown column', () => `animal,at,kind,weight\n${plum.tag},${day(3)},extra,1\n`, /1: weight: unknown column/],
  ['missing columns', () => 'animal,grams\nx,1\n', /1: at: this column is missing/],
];
for (const [name, make, words] of forms) {
  test(`the form of the file: ${name}`, () => {
    const file = join(folder, 'form.csv');
    writeFileSync(file, make());
    const result = gramwell(['import', file]);
    assert.equal(result.status, 2, result.stderr);
    assert.match(result.stderr, words);
  });
}

test('a byte order mark and CRLF are read, and standard input is a file', () => {
  const text = `\ufeffanimal,at,kind,grams,scale,zeroed\r\n${plum.tag},${day(11)},weigh_only,"1004",kitchen scale,yes\r\n`;
  const result = gramwell(['import', '-'], { input: text });
  assert.equal(result.status, 0, result.stderr);
  assert.match(result.stdout, /^1 sent/m);
});

test('times with another offset are the same check', () => {
  const rows = ['2026-01-05T12:00:00Z', '2026-01-05T13:00:00+01:00'].map((at) => `${plum.tag},${at},weigh_only,1000,kitchen scale,yes`);
  const result = gramwell(['import', sheet('offset.csv', 'animal,at,kind,grams,scale,zeroed', ...rows)]);
  assert.equal(result.status, 2);
  assert.match(result.stderr, /offset\.csv:3: is the same animal/);
});

test('a weight a fifth too low raises an alert that the queue shows, as a table and as JSON', () => {
  const sent = gramwell(['import', sheet('fall.csv', 'animal,at,kind,grams,scale,zeroed,confirmed', `${plum.tag},${day(1)},weigh_only,790;791,kitchen scale,yes,yes`)]);
  assert.equal(sent.status, 0, sent.stderr);
  assert.match(sent.stdout, /1 raised or joined an alert/);
  const table = gramwell(['queue']);
  assert.equal(table.status, 0, table.stderr);
  assert.match(table.stdout, new RegExp(`^(emergency|same day) +loss +waiting .*Plum +${plum.tag} +Plum lane`, 'm'));
  const json = gramwell(['queue', '--json']);
  const alerts = JSON.parse(json.stdout);
  assert.ok(alerts.some((a) => a.kind === 'loss' && a.animal.name === 'Plum'));
  assert.match(table.stdout, new RegExp(`^${alerts.length} open$`, 'm'));
  assert.equal(gramwell(['queue', '--state', 'settled', '--json']).stdout.trim(), '[]');
});

test('what people typed cannot work the terminal', async () => {
  const odd = await addCheck(g.desk, home, { name: 'Eve', grams: 1000, days: 20 });
  g.psql(`update gw.animal set name = U&'Eve\\009b31m' where id = '${odd.animal}'`); // the server itself refuses it
  const sent = gramwell(['import', sheet('odd.csv', 'animal,at,kind,grams,scale,zeroed,confirmed', `${odd.tag},${day(1)},weigh_only,780;780,kitchen scale,yes,yes`)]);
  assert.equal(sent.status, 0, sent.stderr);
  const { stdout } = gramwell(['queue']);
  assert.match(stdout, /Eve\?31m/);
  assert.doesNotMatch(stdout, /[\u0000-\u0009\u000b-\u001f\u007f-\u009f]/);
});

test('sign-in keeps a token that only its owner can read, and the other commands use it', () => {
  const result = gramwell(['sign-in', '--email', 'coordinator@test.invalid', '--token-file', tokenFile], { input: `${passphrase}\n` });
  assert.equal(result.status, 0, result.stderr);
  assert.match(result.stdout, /signed in as Test Coordinator \(coordinator\)/);
  assert.doesNotMatch(result.stdout + result.stderr, new RegExp(readFileSync(tokenFile, 'utf8').trim()));
  assert.equal(statSync(tokenFile).mode & 0o777, 0o600);
  assert.equal(gramwell(['queue', '--token-file', tokenFile], { env: { GRAMWELL_TOKEN: '' } }).status, 0);
  const standard = gramwell(['sign-in', '--email', 'coordinator@test.invalid'], { input: `${passphrase}\n`, env: { GRAMWELL_TOKEN: '' } });
  assert.equal(standard.status, 0, standard.stderr);
  assert.equal(gramwell(['queue'], { env: { GRAMWELL_TOKEN: '' } }).status, 0);
});

test('without a good token the exit status says so', () => {
  const wrong = gramwell(['sign-in', '--email', 'coordinator@test.invalid', '--token-file', join(folder, 'none')], { input: 'not the passphrase at all\n' });
  assert.equal(wrong.status, 3);
  assert.equal(gramwell(['queue'], { env: { GRAMWELL_TOKEN: 'x'.repeat(43) } }).status, 3);
  assert.equal(gramwell(['queue'], { env: { GRAMWELL_TOKEN: 'two words' } }).status, 3);
  assert.equal(gramwell(['queue', '--token-file', join(folder, 'missing')]).status, 3);
});

test('a server that is not there, or is reached in the clear, is refused', () => {
  const gone = gramwell(['queue', '--server', 'http://127.0.0.1:9']);
  assert.equal(gone.status, 1);
  assert.match(gone.stderr, /127\.0\.0\.1:9/);
  for (const server of ['http://gramwell.example', 'ftp://127.0.0.1', 'https://a:b@gramwell.example', 'not an address']) {
    assert.equal(gramwell(['queue', '--server', server]).status, 2, server);
  }
  assert.equal(gramwell(['queue'], { env: { GRAMWELL_SERVER: '' } }).status, 2);
});

test('the shell completes commands and their options', () => {
  const complete = (...words) => spawnSync('bash', ['-c', `. "$1"; shift; COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); _gramwell; printf '%s\\n' "\${COMPREPLY[@]}"`,
    'bash', join(root, 'clients/cli/gramwell.bash'), 'gramwell', ...words], { encoding: 'utf8' }).stdout.trim().split('\n');
  assert.deepEqual(complete('q'), ['queue']);
  assert.deepEqual(complete('queue', '--st'), ['--state']);
  assert.deepEqual(complete('queue', '--state', ''), ['open', 'settled']);
  assert.deepEqual(complete('import', '--d'), ['--dry-run']);
});

test('help, version and wrong arguments', () => {
  for (const args of [['--help'], ['import', '--help'], ['queue', '--help'], ['sign-in', '--help']]) {
    const result = gramwell(args);
    assert.equal(result.status, 0);
    assert.match(result.stdout, /usage: gramwell/);
  }
  assert.match(gramwell(['--version']).stdout, /^gramwell \d+\.\d+\.\d+\n$/);
  for (const args of [[], ['feed'], ['import'], ['import', 'a', 'b'], ['queue', 'x'], ['queue', '--state', 'gone'], ['queue', '--what'], ['sign-in']]) {
    assert.equal(gramwell(args).status, 2, args.join(' '));
  }
  const missing = gramwell(['import', join(folder, 'no such file.csv')]);
  assert.equal(missing.status, 2);
  assert.match(missing.stderr, /no such file\.csv/);
});
