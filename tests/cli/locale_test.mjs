// assess and stats under a locale with a decimal comma print the same bytes as without one. LOCPATH: where it was made.

import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { test } from 'node:test';

const need = (name) => process.env[name] ?? assert.fail(`${name} is not set: run by ctest`);
const gramwell = need('GRAMWELL');
// The C library itself never frees what it reads from LOCPATH: a leak report under sanitizers would be of that. Leaks of
// ours are looked for in all other tests, which set no LOCPATH.
const comma = { PATH: process.env.PATH, LOCPATH: need('LOCPATH'), LC_ALL: 'de_DE.UTF-8', ASAN_OPTIONS: 'detect_leaks=0' };
const plain = { PATH: process.env.PATH, LC_ALL: 'C' };

const run = (args, input, env) => {
  const child = spawnSync(gramwell, args, { input, encoding: 'utf8', env });
  assert.equal(child.status, 0, child.stderr);
  assert.match(child.stdout, /[0-9]\.[0-9]/);
  return child.stdout;
};

test('the locale of these tests has a decimal comma', () => {
  const child = spawnSync('/usr/bin/printf', ['%.1f', '1'], { encoding: 'utf8', env: comma });
  assert.equal(child.stdout, '1,0', child.stderr);
});

const weighings = `animal,at,grams,species,second,step,scale
Pip,2026-01-01,1000.5,guinea_pig,,0.5,a
Rose,2026-01-01,30.2,mouse,30.1,0.1,a
Pip,2026-01-08,998.5,,,0.5,a
Pip,2026-01-15,890.5,,891.5,0.5,a
`;
for (const format of ['csv', 'json'])
  test(`assess, ${format}`, () => {
    const args = ['assess', '-', '--format', format];
    assert.equal(run(args, weighings, comma), run(args, weighings, plain));
  });

test('stats', () => {
  for (const [args, input] of [
    [['median-mad'], 'y\n1.5\n2.25\n9.5\n'],
    [['theil-sen', '--confidence', '0.9'], 'x,y\n1,2.5\n2,3.25\n3,5.5\n4,5.75\n'],
    [['ewma', '--lambda', '0.2', '--target', '1.5', '--sigma', '0.5', '--width', '2.5'], 'y\n1.5\n2.25\n'],
  ])
    assert.equal(run(['stats', ...args], input, comma), run(['stats', ...args], input, plain));
});
