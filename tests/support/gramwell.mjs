// A real server on a real PostgreSQL for one test file: a database of its own, migrated, first coordinator invited.
//
//   const g = await startGramwell('cli');   // GW_TEST_DB: conninfo of an admin; GRAMWELLD: the server's binary
//   g.url, g.desk (Api signed in as coordinator), g.psql(sql), await g.stop()

import { execFileSync, spawn } from 'node:child_process';
import { once } from 'node:events';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Api, signIn } from '../../demo/api.mjs';

export const root = join(dirname(fileURLToPath(import.meta.url)), '..', '..');
export const passphrase = 'only for this test, fifteen or more';

export const need = (name) => {
  const value = process.env[name];
  if (!value) throw new Error(`${name} is not set: run the tests by tests/run`);
  return value;
};

// conninfo of the admin's cluster with another database and user
export function conninfo(database, user) {
  const rest = need('GW_TEST_DB').split(/\s+/).filter((p) => p && !/^(dbname|user)=/.test(p));
  return [...rest, `dbname=${database}`, `user=${user}`].join(' ');
}

export function psql(database, sql, user) {
  const target = user ? conninfo(database, user) : need('GW_TEST_DB').replace(/dbname=\S+/, `dbname=${database}`);
  return execFileSync('psql', ['--no-psqlrc', '--quiet', '--tuples-only', '--no-align', '--set', 'ON_ERROR_STOP=1', '--dbname', target], { input: sql, encoding: 'utf8' }).trim();
}

export function settings(database) {
  return {
    ...process.env,
    GRAMWELL_OWNER_DATABASE: conninfo(database, 'gramwell_owner'),
    GRAMWELL_DATABASE: conninfo(database, 'gramwell_app'),
    GRAMWELL_LISTEN: '127.0.0.1:0',
    GRAMWELL_WEB: process.env.GRAMWELL_WEB ?? join(root, 'clients/web/dist'),
  };
}

// Start `gramwelld serve` and wait for its ready line.
export async function serve(database, binary = need('GRAMWELLD'), extra = {}) {
  const child = spawn(binary, ['serve'], { env: { ...settings(database), ...extra }, stdio: ['ignore', 'ignore', 'pipe'] });
  let log = '';
  const url = await new Promise((resolve, reject) => {
    const deadline = setTimeout(() => reject(new Error(`the server did not become ready in 30 s:\n${log}`)), 30000);
    child.on('exit', (code) => reject(new Error(`the server ended with ${code}:\n${log}`)));
    child.stderr.on('data', (part) => {
      log += part;
      const m = /ready.*address="?(127\.0\.0\.1:\d+)/.exec(log);
      if (!m) return;
      clearTimeout(deadline);
      resolve(`http://${m[1]}`);
    });
  }).catch((error) => {
    child.kill('SIGKILL');
    throw error;
  });
  return {
    url,
    log: () => log,
    // Ends by SIGTERM; answers the exit status.
    stop: async () => {
      if (child.exitCode !== null || child.signalCode !== null) {
        console.error(log);
        return child.exitCode ?? child.signalCode;
      }
      const ended = once(child, 'exit');
      child.kill('SIGTERM');
      const [code] = await ended;
      if (code !== 0) console.error(log);
      return code;
    },
  };
}

export async function startGramwell(name) {
  const binary = need('GRAMWELLD');
  const database = `gw_${name}_${process.pid}`;
  psql('postgres', `create database ${database} owner gramwell_owner`);
  const run = (...args) => execFileSync(binary, args, { env: settings(database), encoding: 'utf8', stdio: ['ignore', 'pipe', 'pipe'] });
  run('migrate');
  const link = run('invite', '--name', 'Test Coordinator', '--email', 'coordinator@test.invalid', '--role', 'coordinator').trim();
  const server = await serve(database, binary);
  const token = link.slice(link.lastIndexOf('/') + 1);
  await new Api(server.url).call('POST', `/invitations/${token}`, { passphrase });
  const desk = await signIn(server.url, 'coordinator@test.invalid', passphrase);
  return {
    ...server,
    database,
    desk,
    psql: (sql, user) => psql(database, sql, user),
    stop: async () => {
      const status = await server.stop();
      psql('postgres', `drop database ${database} with (force)`);
      return status;
    },
  };
}
