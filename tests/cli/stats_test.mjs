// gramwell stats: every method against the reference cases, through CSV and back, and bad input told in words.
//
// A case's input is written as CSV with a number's shortest decimal form, and what is printed is compared within the
// tolerance of the case. A field of the case that the command does not print is named in `notPrinted`.

import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { readFileSync, readdirSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { test } from 'node:test';
import { fileURLToPath } from 'node:url';

const program = process.env.GRAMWELL;
assert.ok(program, 'GRAMWELL names the program');
const folder = join(dirname(fileURLToPath(import.meta.url)), '../reference/cases');
const cases = readdirSync(folder).filter((f) => f.endsWith('.json')).map((f) => JSON.parse(readFileSync(join(folder, f), 'utf8')));

function stats(args, input = '', env = {}) {
  return spawnSync(program, ['stats', ...args], { input, encoding: 'utf8', env: { ...process.env, ...env } });
}
const csv = (columns) => {
  const names = Object.keys(columns);
  const n = columns[names[0]].length;
  const rows = Array.from({ length: n }, (_, i) => names.map((c) => columns[c][i] ?? '').join(','));
  return `${[names.join(','), ...rows].join('\n')}\n`;
};
// Printed CSV as columns; numbers where they are numbers, null where a field is empty.
const parse = (text) => {
  const [head, ...rows] = text.trimEnd().split('\n').map((l) => l.split(','));
  const value = (f) => (f === '' ? null : /^-?(inf|[0-9])/.test(f) ? Number(f.replace('inf', 'Infinity')) : f);
  return Object.fromEntries(head.map((c, i) => [c, rows.map((r) => value(r[i]))]));
};
const positions = (flags) => flags.flatMap((f, i) => (f ? [i + 1] : []));
const pairs = (i, ...names) => Object.fromEntries(names.map((c) => [c, i[c]]));

// One entry a method of the cases: the command line, its CSV, and the fields as the case names them.
const ways = {
  robust_level: (i) => ({ args: ['median-mad'], input: csv(pairs(i, 'y')), fields: (o) => first(o) }),
  summary: (i) => ({ args: ['median-mad'], input: csv(pairs(i, 'y')), fields: (o) => first(o) }),
  theil_sen: (i) => ({
    args: ['theil-sen'], input: csv(pairs(i, 'x', 'y')),
    fields: (o) => ({ ...first(o), ci95_low: o.low[0], ci95_high: o.high[0], ci95_low_interp: o.low_interp[0], ci95_high_interp: o.high_interp[0] }),
  }),
  mann_kendall: (i) => ({ args: ['mann-kendall'], input: csv(pairs(i, 'x', 'y')), fields: (o) => first(o) }),
  ols: (i) => {
    const names = i.X[0].map((_, k) => `x${k}`).slice(i.intercept ? 1 : 0);
    const columns = Object.fromEntries(names.map((c) => [c, i.X.map((row) => row[Number(c.slice(1))])]));
    return {
      args: ['linear', ...(i.intercept ? [] : ['--no-intercept'])], input: csv({ ...columns, y: i.y }),
      fields: (o) => ({ coef: o.coef, se: o.se, p_value: o.p_value, ci95_low: o.low, ci95_high: o.high, sigma: o.sigma[0], rss: o.rss[0], df: o.df[0], r2: o.r2[0] }),
    };
  },
  wls_line: (i) => ({
    args: ['linear'], input: csv(pairs(i, 'x', 'y', 'w')),
    fields: (o) => ({ coef: o.coef, se_estimated_scale: o.se, se_known_variance: o.se_known_variance, ci95_low: o.low, ci95_high: o.high, sigma: o.sigma[0], chisq: o.chisq[0], df: o.df[0] }),
  }),
  ewma: (i) => ({
    args: ['ewma', '--lambda', i.lambda, '--target', i.target, '--sigma', i.sigma, '--width', i.L], input: csv(pairs(i, 'y')),
    fields: (o) => ({ z: o.z, ucl: o.ucl, lcl: o.lcl, ucl_steady: o.ucl_steady[0], lcl_steady: o.lcl_steady[0], signals_exact: positions(o.signal_exact), signals_steady: positions(o.signal_steady) }),
  }),
  ewma_irregular: (i) => ({ args: ['ewma', '--lambda', i.lambda, '--target', i.target], input: csv(pairs(i, 't', 'y')), fields: (o) => o }),
  cusum: (i) => ({
    args: ['cusum', '--target', i.target, '--k', i.k, '--h', i.h, ...(i.headstart ? ['--headstart', i.headstart] : [])], input: csv(pairs(i, 'y')),
    fields: (o) => ({ ...o, first_upper: o.signal_upper.indexOf(1) + 1, first_lower: o.signal_lower.indexOf(1) + 1 }),
  }),
  state_space: (i) => ({
    args: [...kind(i), '--var-obs', i.var_obs, '--var-level', i.var_level ?? 0, ...(i.model === 'trend' ? ['--var-slope', i.var_slope ?? 0] : [])],
    input: csv(pairs(i, 't', 'y')), fields: (o) => ({ ...o, loglik_diffuse: o.loglik_diffuse[0] }), notPrinted: ['loglik_diffuse_n2pi', 'n_obs', 'n_diffuse'],
  }),
  state_space_mle: (i) => ({
    args: kind(i), input: csv(pairs(i, 't', 'y')),
    fields: (o) => ({ var_obs: o.var_obs[0], var_level: o.var_level[0], var_slope: o.var_slope?.[0], loglik_diffuse: o.loglik_diffuse[0] }), notPrinted: ['ratio'],
  }),
  growth_nls: (i) => {
    const command = { logistic: ['logistic', '--second-form'], logistic_xmid: ['logistic'], gompertz: ['gompertz', '--second-form'], gompertz_rate: ['gompertz'] }[i.model];
    return command && { // no --start: the command finds its own
      args: command, input: csv(pairs(i, 'x', 'y')),
      fields: (o) => ({ coef: o.coef, se: o.se, rss: o.rss[0], sigma: o.sigma[0], df: o.df[0] }),
    };
  },
  fisher: (i) => {
    const [[a, b], [c, d]] = i.table;
    return { args: ['fisher'], input: csv({ a: [a], b: [b], c: [c], d: [d] }), fields: (o) => first(o) };
  },
  binomial: (i) => ({ args: ['binomial'], input: csv({ x: [i.x], n: [i.n], p: [i.p] }), fields: (o) => bounds(first(o)) }),
  poisson_one: (i) => ({ args: ['poisson'], input: csv({ x: [i.x], exposure: [i.T], rate: [i.r] }), fields: (o) => ({ ...bounds(first(o)), rate: o.estimate[0] }) }),
  poisson_two: (i) => ({ args: ['poisson'], input: csv({ x1: [i.x[0]], exposure1: [i.T[0]], x2: [i.x[1]], exposure2: [i.T[1]] }), fields: (o) => bounds(first(o)) }),
  bh: (i) => ({ args: ['benjamini-hochberg'], input: csv(pairs(i, 'p')), fields: (o) => ({ ...o, n_reject: o.adjusted.filter((p) => p <= i.q).length }) }),
  agreement: (i) => ({
    args: ['agreement'], input: csv(pairs(i, 'a', 'b')),
    fields: (o) => ({
      ...first(o), bias_ci95: [o.bias_low95[0], o.bias_high95[0]],
      loa_low_ci95_1986: [o.loa_low_low95[0], o.loa_low_high95[0]], loa_high_ci95_1986: [o.loa_high_low95[0], o.loa_high_high95[0]],
    }),
  }),
  lms: (i) => ({ args: ['lms'], input: csv(pairs(i, 'L', 'M', 'S', 'x', 'p')), fields: (o) => o }),
  lms_fit: (i) => ({ args: ['lms'], input: csv(pairs(i, 'y')), fields: (o) => ({ ...first(o), centiles: [5, 10, 25, 50, 75, 90, 95].map((c) => o[`c${c}`][0]) }) }),
};
const first = (o) => Object.fromEntries(Object.entries(o).map(([c, v]) => [c, v[0]]));
const bounds = (o) => ({ ...o, ratio: o.ratio, ci95_low: o.low, ci95_high: o.high, lower95_one_sided: o.lower_one_sided, upper95_one_sided: o.upper_one_sided });
const kind = (i) => (i.model === 'level' ? ['local-level'] : i.discretisation === 'discrete' ? ['local-trend', '--discrete'] : ['local-trend']);

function compare(c, field, found) {
  const rule = c.tolerance.fields[field] ?? c.tolerance.default;
  if ('skip' in rule) return;
  const want = [c.expected[field]].flat(Infinity);
  const got = [found].flat(Infinity);
  assert.equal(got.length, want.length, `${c.id}: ${field}`);
  const largest = Math.max(0, ...want.map((v) => Math.abs(v ?? 0)));
  want.forEach((v, k) => {
    if (v === null) return assert.equal(got[k], null, `${c.id}: ${field}[${k}]`);
    const scale = c.tolerance.scale === 'array' ? largest : Math.abs(v) || 1;
    const allowed = 'abs' in rule ? rule.abs : rule.rel * scale;
    assert.ok(typeof got[k] === 'number' && Math.abs(got[k] - v) <= allowed, `${c.id}: ${field}[${k}] is ${got[k]}, expected ${v}`);
    return undefined;
  });
}

for (const [method, way] of Object.entries(ways)) {
  test(`${method}: as R and Python say, through CSV and back`, () => {
    const own = cases.filter((c) => c.method === method);
    assert.ok(own.length > 0);
    let run = 0;
    for (const c of own) {
      const w = way(c.input);
      if (!w) continue; // a curve that has no command of its own
      const { status, stdout, stderr } = stats(w.args.map(String), w.input);
      assert.equal(status, 0, `${c.id}: ${stderr}`);
      assert.equal(stderr, '', c.id);
      const found = w.fields(parse(stdout));
      for (const field of Object.keys(c.expected)) {
        if (!w.notPrinted?.includes(field)) compare(c, field, field in found ? found[field] : undefined);
      }
      run++;
    }
    assert.ok(run > 0);
  });
}

const names = ['theil-sen', 'mann-kendall', 'ewma', 'cusum', 'local-level', 'local-trend', 'fisher', 'binomial', 'poisson',
  'benjamini-hochberg', 'gompertz', 'logistic', 'linear', 'agreement', 'lms', 'median-mad'];

test('each method says its columns, what it prints, its method and its source', () => {
  const list = stats(['--help']);
  assert.equal(list.status, 0);
  for (const name of names) {
    assert.match(list.stdout, new RegExp(`^  ${name} `, 'm'));
    const { status, stdout } = stats([name, '--help']);
    assert.equal(status, 0);
    for (const part of ['Columns', 'Prints', 'Method', 'Source']) assert.match(stdout, new RegExp(`^${part} {2}`, 'm'), name);
  }
});

test('numbers have 17 significant digits, and read back as what was meant', () => {
  const { stdout } = stats(['median-mad'], 'y\n0.1\n0.2\n0.30000000000000004\n');
  assert.match(stdout, /0\.20000000000000001/);
  assert.equal(parse(stdout).median[0], 0.2);
});

// Bad input: exit status 2, nothing on standard output, and file, row, column and what would be right.
const refused = [
  ['median-mad', 'y\n5\nabc\n', /^standard input:3: y: is "abc", expected a number, or nothing/m],
  ['median-mad', 'y\n5\n0x10\n', /:3: y: is "0x10"/],
  ['median-mad', 'y\nnan\n', /:2: y: is "nan"/],
  ['median-mad', 'y\n1e999\n', /:2: y: is "1e999"/],
  ['median-mad', 'y\n"3,5"\n', /:2: y: is "3,5", expected a number.*decimal point/],
  ['median-mad', 'grams\n5\n', /:1: y: this column is missing/],
  ['median-mad', 'y\n\n', /:2: is empty|:2: median-mad: fewer values/],
  ['median-mad', '', /the file is empty, expected a header line/],
  ['theil-sen', 'x,y\n1,2\n', /:2: theil-sen: fewer values than the method needs, with 1 rows in play/],
  ['theil-sen', 'x,y\n1,2\n1,3\n', /theil-sen: the values do not vary/],
  ['theil-sen', 'x,y\n1,2,3\n', /:2: has 3 fields, the header has 2/],
  ['mann-kendall', 'x,y\n', /:1: mann-kendall: fewer values/],
  ['fisher', 'a,b,c,d\n1,2,3,4\n1,2,-3,4\n', /:3: c: is "-3", expected a whole number from 0/],
  ['fisher', 'a,b,c,d\n1,2.5,3,4\n', /:2: b: is "2.5", expected a whole number/],
  ['fisher', 'a,b,c,d\n0,0,0,0\n', /:2: the table adds up to nothing/],
  ['binomial', 'x,n,p\n5,4,0.5\n', /:2: x is greater than n/],
  ['binomial', 'x,n,p\n3,4,1.5\n', /:2: p: is "1.5", expected a probability/],
  ['poisson', 'x,exposure,rate\n3,0,1\n', /:2: exposure: is "0", expected a number above 0/],
  ['poisson', 'x1,exposure1,x2,exposure2\n0,1,0,1\n', /:2: x1 and x2 are both 0/],
  ['benjamini-hochberg', 'p\n0.5\n1.01\n', /:3: p: is "1.01", expected a p-value/],
  ['local-level', 't,y\n3,1\n2,1\n4,1\n5,2\n', /:3: t: is 2, expected a time that is not before/],
  ['local-level', 't,y\n,1\n', /:2: t: is empty, expected a number: the time/],
  ['local-trend', 't,y\n1,1\n2,\n3,\n', /local-trend: fewer values/],
  ['gompertz', 'x,y\n1,5\n2,-6\n3,7\n4,8\n', /:3: y: is -6, expected a number above 0/],
  ['logistic', 'x,y\n1,5\n2,6\n3,7\n', /logistic: fewer values/],
  ['linear', 'x,y\n1,2\n', /linear: fewer values/],
  ['linear', 'a,b,y\n1,2,3\n2,4,5\n3,6,8\n4,8,9\n', /linear: the values do not vary, or columns depend/],
  ['linear', 'x,y,w\n1,2,1\n2,3,0\n3,4,1\n', /:3: w: is "0", expected a weight above 0/],
  ['linear', 'a,b,y,w\n1,2,3,1\n', /:1: w: weights go with one predictor/],
  ['agreement', 'a,b\n1,2\n3,\n', /agreement: fewer values/],
  ['lms', 'L,M,S,x\n1,0,0.1,5\n', /:2: M: is "0", expected a number above 0/],
  ['lms', 'y\n5\n6\n0\n', /:4: y: is "0", expected a number above 0/],
  ['ewma --target 1 --sigma 1', 'y\n5\n\n', /:3: (is empty|y: is empty)/],
  ['cusum --target 1 --k 1 --h 1', 'y\nx\n', /:2: y: is "x", expected a number/],
];
for (const [args, input, words] of refused) {
  test(`refused: ${args} ${JSON.stringify(input)}`, () => {
    const { status, stdout, stderr } = stats(args.split(' '), input);
    assert.equal(status, 2, stderr);
    assert.equal(stdout, '');
    assert.match(stderr, words);
  });
}

// Bad arguments are told by name.
const misused = [
  [[], /usage: gramwell stats NAME/],
  [['mean'], /does not know "mean"; gramwell stats --help lists/],
  [['ewma', '--sigma', '1'], /ewma needs --target; gramwell stats ewma --help/],
  [['cusum', '--target', '1'], /needs --target, --k and --h/],
  [['theil-sen', '--confidence', '1'], /--confidence is "1", expected a number above 0 and below 1/],
  [['theil-sen', '--confidence'], /--confidence is without a value/],
  [['theil-sen', '--target', '5'], /theil-sen does not know --target/],
  [['local-level', '--var-level', '5'], /--var-level and --var-slope go with --var-obs/],
  [['gompertz', '--start', '1,a'], /--start is "1,a", expected numbers with commas/],
  [['gompertz', '--start', '1,2'], /--start has 2 numbers, expected 3/],
  [['median-mad', '/nowhere/weights.csv'], /\/nowhere\/weights\.csv: No such file/],
  [['median-mad', 'a.csv', 'b.csv'], /reads one file, not a\.csv and b\.csv/],
];
for (const [args, words] of misused) {
  test(`refused: stats ${args.join(' ')}`, () => {
    const { status, stdout, stderr } = stats(args, 't,y\n1,2\n');
    assert.equal(status, 2, stderr);
    assert.equal(stdout, '');
    assert.match(stderr, words);
  });
}
