// What an operator relies on: the installed tree runs from where it was put, the unit is sound, and a backup comes back.

import assert from 'node:assert/strict';
import { execFileSync, spawnSync } from 'node:child_process';
import { appendFileSync, existsSync, mkdirSync, mkdtempSync, readFileSync, readdirSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { after, before, test } from 'node:test';
import { signIn } from '../../demo/api.mjs';
import { need, passphrase, psql, serve, startGramwell } from '../support/gramwell.mjs';
import { addCheck, addHome } from '../support/world.mjs';

const build = dirname(dirname(need('GRAMWELLD')));
const scratch = mkdtempSync(join(tmpdir(), 'gramwell-deploy-'));
const tree = join(scratch, 'root');
const cache = readFileSync(join(build, 'CMakeCache.txt'), 'utf8');
const prefix = join(tree, /^CMAKE_INSTALL_PREFIX:PATH=(.*)$/m.exec(cache)[1]);
const installed = (...path) => join(prefix, ...path);
let g;
let check;
let animal;

// The environment in which libpq's programs reach the test cluster as its superuser.
const admin = Object.fromEntries(need('GW_TEST_DB').split(/\s+/).map((p) => p.split('=')).map(([k, v]) => [{ host: 'PGHOST', user: 'PGUSER', port: 'PGPORT', dbname: 'PGDATABASE' }[k] ?? k, v]));
const run = (program, args) => spawnSync(program, args, { env: { ...process.env, ...admin }, encoding: 'utf8' });

before(async () => {
  execFileSync('cmake', ['--install', build], { env: { ...process.env, DESTDIR: tree }, stdio: 'pipe' });
  g = await startGramwell('deploy');
  const home = await addHome(g.desk, { name: 'Backup lane' });
  ({ check, animal } = await addCheck(g.desk, home, { name: 'Spare', grams: 1012 }));
});

after(async () => {
  await g?.stop();
  psql('postgres', 'drop database if exists gw_deploy_restored with (force)');
  rmSync(scratch, { recursive: true });
});

test('everything is installed, and the programs run from where they were put', () => {
  for (const path of ['sbin/gramwelld', 'sbin/gramwell-backup', 'sbin/gramwell-restore', 'bin/gramwell', 'share/gramwell/roles.sql',
    'share/gramwell/web/index.html', 'lib/systemd/system/gramwelld.service', 'lib/sysusers.d/gramwell.conf', 'lib/tmpfiles.d/gramwell.conf',
    'share/man/man8/gramwelld.8', 'share/man/man8/gramwell-backup.8', 'share/man/man1/gramwell.1', 'share/doc/gramwell/README.md']) {
    assert.ok(existsSync(installed(path)), `${path} is missing`);
  }
  for (const [program, words] of [['bin/gramwell', /^gramwell \d+\.\d+\.\d+$/m], ['sbin/gramwelld', /\d+\.\d+\.\d+/]]) {
    assert.match(execFileSync(installed(program), ['--version'], { encoding: 'utf8' }), words);
  }
});

test('the installed server serves the installed web client', async () => {
  const server = await serve(g.database, installed('sbin/gramwelld'), { GRAMWELL_WEB: installed('share/gramwell/web') });
  try {
    const page = await fetch(`${server.url}/`);
    assert.equal(page.status, 200);
    assert.equal(await page.text(), readFileSync(installed('share/gramwell/web/index.html'), 'utf8'));
  } finally {
    assert.equal(await server.stop(), 0);
  }
});

test('the unit is sound and shuts off what the server does not need', (t) => {
  if (spawnSync('systemd-analyze', ['--version']).status !== 0) return t.skip('systemd-analyze is not here');
  const unit = join(scratch, 'gramwelld.service');
  const text = readFileSync(installed('lib/systemd/system/gramwelld.service'), 'utf8');
  assert.doesNotMatch(text, /@[A-Z_]+@/);
  writeFileSync(unit, text.replace(/^ExecStart=\S+/m, `ExecStart=${installed('sbin/gramwelld')}`).replace('man:gramwelld(8)', 'https://gramwell.example/'));
  const verify = spawnSync('systemd-analyze', ['verify', '--recursive-errors=no', unit], { encoding: 'utf8' });
  assert.equal(verify.status, 0, verify.stdout + verify.stderr);
  const ours = verify.stderr.split('\n').filter((line) => line.includes('gramwelld.service'));
  assert.deepEqual(ours, []);
  // Exposure from 0 (closed) to 10 (open); the threshold counts in tenths.
  const security = spawnSync('systemd-analyze', ['security', '--offline=true', '--threshold=20', '--no-pager', unit], { encoding: 'utf8' });
  assert.equal(security.status, 0, security.stdout + security.stderr);
});

test('a backup comes back whole: the same rows, the same check, the same photo', async () => {
  const photos = join(scratch, 'photos');
  const target = join(scratch, 'backups');
  mkdirSync(join(photos, 'ab'), { recursive: true });
  mkdirSync(target);
  writeFileSync(join(photos, 'ab', 'cdef.jpg'), Buffer.from([0xff, 0xd8, 0x00, 0x0a, 0xff, 0xd9]));
  const backup = run(installed('sbin/gramwell-backup'), ['--database', g.database, '--photos', photos, target]);
  assert.equal(backup.status, 0, backup.stderr);
  const folder = backup.stdout.trim();
  assert.deepEqual(readdirSync(target), [folder.slice(target.length + 1)]);
  assert.equal(statSync(folder).mode & 0o077, 0, 'others may read the backup');

  const back = join(scratch, 'photos-back');
  const restore = run(installed('sbin/gramwell-restore'), ['--database', 'gw_deploy_restored', '--photos', back, folder]);
  assert.equal(restore.status, 0, restore.stderr);
  assert.deepEqual(readFileSync(join(back, 'ab', 'cdef.jpg')), readFileSync(join(photos, 'ab', 'cdef.jpg')));
  const tables = psql(g.database, "select tablename from pg_tables where schemaname = 'gw' order by 1").split('\n');
  assert.ok(tables.length > 15);
  for (const table of tables.filter((t) => t !== 'session')) {
    const count = `select count(*) from gw.${table}`;
    assert.equal(psql('gw_deploy_restored', count), psql(g.database, count), table);
  }

  const server = await serve('gw_deploy_restored', installed('sbin/gramwelld'));
  try {
    const desk = await signIn(server.url, 'coordinator@test.invalid', passphrase);
    const before = await g.desk.get(`/checks/${check}`);
    assert.deepEqual(await desk.get(`/checks/${check}`), before);
    assert.equal(before.check?.weighing?.grams ?? before.weighing.grams, 1012);
    assert.equal((await desk.get(`/animals/${animal}`)).animal.name, 'Spare');
  } finally {
    await server.stop();
  }

  await overwrites(folder, photos);
  await damaged(folder);
});

// A restore never writes over what is there.
async function overwrites(folder, photos) {
  const there = run(installed('sbin/gramwell-restore'), ['--database', g.database, '--photos', join(scratch, 'none'), folder]);
  assert.equal(there.status, 1);
  assert.match(there.stderr, /exists already/);
  const full = run(installed('sbin/gramwell-restore'), ['--database', 'gw_deploy_other', '--photos', photos, folder]);
  assert.equal(full.status, 1);
  assert.match(full.stderr, /is not empty/);
  assert.equal(psql('postgres', "select count(*) from pg_database where datname = 'gw_deploy_other'"), '0');
}

// One changed byte is enough to refuse.
async function damaged(folder) {
  appendFileSync(join(folder, 'database.dump'), 'x');
  const result = run(installed('sbin/gramwell-restore'), ['--database', 'gw_deploy_other', '--photos', join(scratch, 'none'), folder]);
  assert.equal(result.status, 1);
  assert.match(result.stderr, /is damaged/);
  assert.equal(psql('postgres', "select count(*) from pg_database where datname = 'gw_deploy_other'"), '0');
}

test('a backup as a role that row-level security binds is refused', () => {
  const target = mkdtempSync(join(scratch, 'refused-'));
  const result = spawnSync(installed('sbin/gramwell-backup'), ['--database', g.database, target], { env: { ...process.env, ...admin, PGUSER: 'gramwell_app' }, encoding: 'utf8' });
  assert.equal(result.status, 1);
  assert.match(result.stderr, /row-level security/);
  assert.deepEqual(readdirSync(target), []);
});

test('the restored database belongs to the owner and binds the service', () => {
  assert.equal(psql('gw_deploy_restored', "select pg_get_userbyid(datdba) from pg_database where datname = current_database()"), 'gramwell_owner');
  assert.equal(psql('gw_deploy_restored', 'select count(*) from gw.animal', 'gramwell_app'), '0');
});
