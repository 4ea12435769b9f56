// What demo/run says when a machine is not as it should be: one sentence each, status 1, nothing started.

import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { chmodSync, mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { after, test } from 'node:test';
import { root } from '../support/gramwell.mjs';

const folder = mkdtempSync(join(tmpdir(), 'gramwell-setup-'));
chmodSync(folder, 0o711); // the database's user must pass through
after(() => rmSync(folder, { recursive: true }));
const run = (...args) => spawnSync(join(root, 'demo/run'), args, { encoding: 'utf8', timeout: 20000 });
// A function of demo/setup.sh, in a shell of its own with another PATH if need be.
const setup = (script, env = {}) => spawnSync('/bin/bash', ['-c', `set -euo pipefail; me=demo/run root=$1 logs=$2; . "$1/demo/setup.sh"; ${script}`, 'bash', root, folder], { encoding: 'utf8', env: { ...process.env, ...env } });
const oneSentence = (text) => text.trim().split('\n').length === 1;

test('a port in use', async () => {
  const listener = createServer().listen(0, '127.0.0.1');
  await new Promise((ready) => listener.once('listening', ready));
  const { port } = listener.address();
  const result = run('--port', String(port));
  listener.close();
  assert.equal(result.status, 1);
  assert.match(result.stderr, new RegExp(`^demo/run: port ${port} is in use`));
  assert.ok(oneSentence(result.stderr), result.stderr);
});

test('arguments it does not know', () => {
  for (const args of [['--port'], ['--port', '70000'], ['--port', 'x'], ['--what']]) assert.equal(run(...args).status, 1, args.join(' '));
  assert.equal(run('--help').status, 0);
});

test('a database made by another version', () => {
  const cluster = join(folder, 'old');
  mkdirSync(cluster);
  writeFileSync(join(cluster, 'PG_VERSION'), '13\n');
  const result = setup('postgres_find; cluster=$2/old; cluster_make');
  assert.equal(result.status, 1);
  assert.match(result.stderr, /^demo\/run: the database in .*old was made by PostgreSQL 13 and this machine has \d+; start over with --fresh\.$/m);
  assert.ok(oneSentence(result.stderr), result.stderr);
});

test('a machine without apt', () => {
  const bin = join(folder, 'bin');
  mkdirSync(bin);
  for (const tool of ['id', 'wc', 'grep']) symlinkSync(spawnSync('which', [tool], { encoding: 'utf8' }).stdout.trim(), join(bin, tool));
  const result = setup('packages_install "$packages_build"', { PATH: bin });
  assert.equal(result.status, 1);
  assert.match(result.stderr, /^demo\/run: this set-up needs Debian's apt-get/m);
  assert.ok(oneSentence(result.stderr), result.stderr);
});

test('no leave to install', () => {
  const result = setup('id() { echo 1000; }; command() { [ "$2" != sudo ] && builtin command "$@"; }; packages_install "no-such-package-at-all -"');
  assert.equal(result.status, 1);
  assert.match(result.stderr, /without root or sudo they cannot be installed here: no-such-package-at-all/);
  assert.ok(oneSentence(result.stderr), result.stderr);
});

test('a step that fails shows the end of its output and where the rest is', () => {
  const result = setup('work() { echo "first line"; echo "the reason"; return 3; }; step "doing work" work');
  assert.equal(result.status, 1);
  assert.match(result.stderr, /the reason/);
  assert.match(result.stderr, /demo\/run: doing work failed; all of its output is in .*doing-work\.log/);
});

test('a folder too deep for a socket gets its sockets elsewhere', () => {
  const deep = join(folder, 'd'.repeat(90), 'state');
  const result = setup(`cluster_home "${deep}"; echo "$sockets"; rm -rf "$sockets"`);
  assert.equal(result.status, 0, result.stderr);
  assert.ok(`${result.stdout.trim()}/.s.PGSQL.5432`.length < 108, result.stdout);
});
