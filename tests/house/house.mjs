// Rules of this project that no compiler knows. Prints each breach as file:line: words; exit status 1 when there is one.
//
//   node tests/house/house.mjs [ROOT]
//
// 1. Includes point down: http and nouns -> db, json, trend's public header -> base; base and trend on nothing of ours;
//    libpq only in server/db, libmicrohttpd only in server/http, no header in a circle.
// 2. Calls that overflow or fail without a word are banned.
// 3. Shell scripts and modules parse; text files end with a newline and hold no trailing blanks.

import { execFileSync, spawnSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { dirname, join, normalize } from 'node:path';

const root = process.argv[2] ?? process.cwd();
const files = execFileSync('git', ['-C', root, 'ls-files', '-z'], { encoding: 'utf8' }).split('\0').filter((f) => f && existsSync(join(root, f)));
const text = new Map();
const read = (file) => {
  if (!text.has(file)) text.set(file, readFileSync(join(root, file), 'utf8'));
  return text.get(file);
};
let breaches = 0;
const breach = (file, line, words) => {
  breaches++;
  console.log(`${file}:${line}: ${words}`);
};

// ---- 1. includes ----------------------------------------------------------------------------------------------------

const layerOf = (path) => /^server\/([a-z_]+)\//.exec(path)?.[1] ?? null;
const may = { base: ['base'], json: ['json', 'base'], db: ['db', 'base'] }; // http, nouns and main: anything of the server's
const includes = new Map();
let seen = 0;

for (const file of files.filter((f) => /^(server|clients\/cli)\/.*\.[ch]$/.test(f))) {
  const layer = layerOf(file);
  const list = [];
  read(file).split('\n').forEach((line, i) => {
    const m = /^\s*#\s*include\s*([<"])([^>"]+)[>"]/.exec(line);
    if (!m) return;
    seen++;
    const name = m[2];
    if (name === 'libpq-fe.h' && layer !== 'db') breach(file, i + 1, 'libpq belongs to server/db alone');
    if (name === 'microhttpd.h' && layer !== 'http') breach(file, i + 1, 'libmicrohttpd belongs to server/http alone');
    if (m[1] === '<') {
      if (layer === 'base' && name.startsWith('gramwell/')) breach(file, i + 1, 'base knows nothing of the engine');
      return;
    }
    const candidates = [normalize(join(dirname(file), name)), `server/${name}`];
    const target = candidates.find((c) => files.includes(c));
    if (!target) return; // made by the build
    list.push(target);
    const to = layerOf(target);
    if (layer === 'trend' && to !== 'trend') breach(file, i + 1, 'the engine includes nothing but itself');
    if (to === 'trend' && layer !== 'trend') breach(file, i + 1, 'of the engine only <gramwell/trend.h> may be included');
    if (may[layer] && to && !may[layer].includes(to)) breach(file, i + 1, `${layer} must not include ${to}: arrows point down`);
    if (file.startsWith('clients/') && target.startsWith('server/')) breach(file, i + 1, 'a client includes nothing of the server');
  });
  includes.set(file, list);
}
if (seen === 0) breach('server', 1, 'no include line was found: the check looks in the wrong place');

const state = new Map();
function circle(file, path) {
  if (state.get(file) === 'done') return;
  if (state.get(file) === 'open') {
    breach(file, 1, `includes itself: ${[...path.slice(path.indexOf(file)), file].join(' -> ')}`);
    return;
  }
  state.set(file, 'open');
  for (const next of includes.get(file) ?? []) circle(next, [...path, file]);
  state.set(file, 'done');
}
for (const file of includes.keys()) circle(file, []);

// ---- 2. banned calls ------------------------------------------------------------------------------------------------

const banned = /\b(sprintf|vsprintf|strcpy|strcat|stpcpy|gets|atoi|atol|atoll|atof|strtok|strncpy|alloca|tmpnam|setjmp|longjmp)\s*\(/;
const outside = /\b(system|popen)\s*\(/; // a shell is for tests alone
const blank = (source) => source
  .replace(/\/\*[\s\S]*?\*\/|\/\/[^\n]*/g, (c) => c.replace(/[^\n]/g, ' '))
  .replace(/"(?:[^"\\\n]|\\.)*"/g, (s) => (/%\*?s|%\[/.test(s) ? s : '""'));
for (const file of files.filter((f) => /\.[ch]$/.test(f))) {
  blank(read(file)).split('\n').forEach((line, i) => {
    const m = banned.exec(line) ?? (file.startsWith('tests/') ? null : outside.exec(line));
    if (m) breach(file, i + 1, `${m[1]}() is banned`);
    if (/\bs?f?scanf\s*\(.*%(s|\[)/.test(line)) breach(file, i + 1, 'scanf reads text without a bound');
  });
}

// ---- 3. scripts and text --------------------------------------------------------------------------------------------

const isText = (f) => /\.(c|h|sql|mjs|js|ts|tsx|css|html|md|sh|txt|json|csv|service|conf|[18])$/.test(f) || /(^|\/)(run|backup|restore|CMakeLists\.txt)$/.test(f);
for (const file of files) {
  if (!isText(file)) continue;
  const body = read(file);
  if (/^#!.*\bbash\b/.test(body) || file.endsWith('.sh') || file.endsWith('.bash')) {
    const { status, stderr } = spawnSync('bash', ['-n', join(root, file)], { encoding: 'utf8' });
    if (status !== 0) breach(file, 1, stderr.trim());
  }
  if (file.endsWith('.mjs')) {
    const { status, stderr } = spawnSync(process.execPath, ['--check', join(root, file)], { encoding: 'utf8' });
    if (status !== 0) breach(file, 1, stderr.trim().split('\n').slice(0, 5).join(' '));
  }
  if (/\.(csv|json)$/.test(file) || body === '') continue; // data keep the form of their source
  if (!body.endsWith('\n')) breach(file, body.split('\n').length, 'no newline at the end');
  body.split('\n').forEach((line, i) => {
    if (/[ \t]+$/.test(line)) breach(file, i + 1, 'blanks at the end of the line');
  });
}

console.log(`house: ${files.length} files, ${seen} includes, ${breaches} breaches`);
process.exit(breaches ? 1 : 0);
