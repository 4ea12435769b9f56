// The server's statements as pgbench scripts: the very files of schema/queries, in the same pipelines.
//
// Differences from what the server sends, all of which spare pgbench work or cost it about a microsecond:
//   - ids, instants and the token's hash are worked out from numbers in the statement, because a pgbench variable cannot
//     be fetched within a pipeline;
//   - check_add does not compare the animal's version: the number read in the first pipeline cannot be carried to the
//     second;
//   - the verdict is always the same text: the engine does not run.
import { readFileSync } from 'node:fs';
import { join } from 'node:path';

const padded = (n, digits) => `lpad(to_hex(:${n}::int8), ${digits}, '0')`;
const id = (kind, n) => `('00000000-0000-4${kind}00-8000-' || ${padded(n, 12)})`;
const instant = 'to_timestamp(:at::int8)';
const freshId = `(${padded('high', 8)} || '-0000-4000-8000-' || ${padded('low', 12)})`;
const hash = (n) => `encode(sha256(decode(${padded(n, 64)}, 'hex')), 'hex')`;
const none = "nullif(:none::text, '-')";
const text = (name) => `:${name}::text`;

// The order is that of check_add.sql.
const added = [
  freshId, id('a', 'animal'), null, id('b', 'home'), text('kind'), instant, text('minutes'), text('answers'), none,
  id('c', 'home'), text('step'), 'array[:grams::numeric]', ':grams::numeric', text('yes'), text('no'), text('looked'),
  text('seen'), text('steady'), text('hash'), text('findings'), text('ones'), text('zeros'), text('zeros'), text('body'),
  text('alone'), text('steady'), text('nothing'), text('plain'), text('no'), text('steady'), text('nothing'),
];

const pick = {
  home: '\\set home random(0, :homes - 1)',
  animal: '\\set animal random(0, :animals - 1)\n\\set home :animal % :homes',
  desk: '\\set home 1000000',
  next: [
    '\\set k :k + 1', '\\set place :k * :clients + :client_id', '\\set animal :place % :animals', '\\set home :animal % :homes',
    '\\set at :base + (:visit + :place / :animals) * 43200 + :animal / :homes * 60',
    '\\set grams 900 + :animal * 37 % 200 + random(-6, 6)', '\\set high random(0, 4294967295)', '\\set low random(0, 281474976710655)',
  ].join('\n'),
};

// What is asked for: how the numbers are picked, and the pipelines: [file, parameters...].
export const work = {
  check: { pick: pick.next, pipelines: [
    [['check_seen', freshId], ['check_home', id('b', 'home')], ['check_subject', id('a', 'animal')],
      ['check_events', id('a', 'animal')], ['check_history', id('a', 'animal')], ['check_scale', id('c', 'home')],
      ['check_mates', id('c', 'home'), instant, id('a', 'animal')]],
    [['check_add', ...added], ['check_answer', freshId]]] },
  round: { pick: pick.home, pipelines: [[['round_get', instant]]] },
  history: { pick: pick.animal, pipelines: [[['check_history_json', id('a', 'animal'), text('limit')]]] },
  alerts: { pick: pick.desk, pipelines: [[['alert_list', text('yes'), none, none, text('most'), none]]] },
  findings: { pick: pick.home, pipelines: [[['home_findings', id('b', 'home'), text('weeks')]]] },
};

const row = { level: 'steady', kind: 'none', quality: 'plain', expected: 1000.2, low: 979.1, high: 1021.3, sd: 0.1034, own_level: 1000.2,
  change_grams: -2.2, change_pct: -0.22, week_grams: 1.1, week_pct: 0.11, slope_pct_week: 0.02, slope_low: -0.28, slope_high: 0.32,
  weeks_of_fall: 0, log_odds: -4.312, mouth_log_odds: -5.104, error_share: 0.0012, pattern: 'none', reasons: [], ask_second: false };
const precise = Object.fromEntries(Object.entries(row).map(([name, value]) =>
  [name, typeof value === 'number' ? value + 1 / 3e4 : typeof value === 'object' || typeof value === 'string' ? 0 : 0]));

// Values of the variables that stay the same, for pgbench's -D.
export function constants({ homes, animals, base, regions }) {
  const counts = (n) => `{${regions.map(() => n).join(',')}}`;
  return { homes, animals, base, at: Math.floor(Date.now() / 1000), none: '-', kind: 'weekly', minutes: 6, step: '1', yes: 'true', no: 'false',
    looked: 7, seen: 0, steady: 'steady', nothing: 'none', plain: 'plain', hash: 'ab'.repeat(32), findings: '[]', limit: 104, most: 200,
    weeks: 52, ones: counts(1), zeros: counts(0), answers: JSON.stringify(Object.fromEntries(regions.map((r) => [r, 'as_usual']))),
    body: JSON.stringify(row), alone: JSON.stringify(precise) };
}

// One file of schema/queries with its parameters put in.
export function statement(root, name, params) {
  let sql = readFileSync(join(root, 'schema/queries', `${name}.sql`), 'utf8').replace(/^\s*--.*$/gm, '').trim().replace(/;$/, '');
  if (name === 'check_add') {
    const loosened = sql.replace(/ and s\.version = \$3::bigint/, '');
    if (loosened === sql) throw new Error('check_add.sql no longer compares the version in the words that this expects');
    sql = loosened;
  }
  return sql.replace(/\$(\d+)/g, (_, n) => {
    if (!params[n - 1]) throw new Error(`${name}.sql takes a parameter $${n} that is not given here`);
    return `(${params[n - 1]})`;
  });
}

// The pgbench script of one kind of work; role is what the route asks for.
export function script(root, what) {
  const { pick: numbers, pipelines } = work[what];
  return `${numbers}\n` + pipelines.map((statements) => ['\\startpipeline',
    `${statement(root, 'session_enter', [hash('home'), text('role')])};`,
    ...statements.map(([name, ...params]) => `${statement(root, name, params)};`), '\\endpipeline', ''].join('\n')).join('');
}
