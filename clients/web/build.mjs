// Builds the client into dist/: hashed scripts and styles, the shell page, the worker, the engine, and a .gz beside each.
// TREND_WASM names the compiled engine; without one the client still runs and says that the word comes later.
import { createHash } from 'node:crypto';
import { copyFile, mkdir, readdir, readFile, rm, stat, writeFile } from 'node:fs/promises';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';
import { build, context } from 'esbuild';

const here = dirname(fileURLToPath(import.meta.url));
const dist = join(here, 'dist');
const common = {
  absWorkingDir: here,
  bundle: true,
  target: 'es2022',
  jsx: 'automatic',
  jsxImportSource: 'preact',
  loader: { '.json': 'json' },
  logLevel: 'warning',
};

async function filesBelow(folder) {
  const found = [];
  for (const entry of await readdir(folder, { withFileTypes: true })) {
    const path = join(folder, entry.name);
    if (entry.isDirectory()) found.push(...(await filesBelow(path)));
    else found.push(path);
  }
  return found.sort();
}

/** Rules without a page, bundled for node --test. */
async function buildTests() {
  const tests = (await filesBelow(join(here, 'src'))).filter((path) => path.endsWith('.test.ts'));
  await rm(join(here, 'build/tests'), { recursive: true, force: true });
  await build({
    ...common,
    entryPoints: tests,
    outdir: 'build/tests',
    outExtension: { '.js': '.mjs' },
    format: 'esm',
    platform: 'node',
    packages: 'external',
    sourcemap: 'inline',
  });
}

async function copyEngine() {
  const wasm = process.env.TREND_WASM || join(here, '../../build/wasm/trend.wasm');
  try {
    await copyFile(wasm, join(dist, 'trend.wasm'));
  } catch (error) {
    if (error.code !== 'ENOENT' || process.env.TREND_WASM) throw error;
    process.stderr.write(
      `build: no engine at ${relative(here, wasm)}; the client will say that the word comes later\n`,
    );
  }
}

async function buildClient() {
  await rm(dist, { recursive: true, force: true });
  await mkdir(dist, { recursive: true });
  const shipped = await build({
    ...common,
    entryPoints: { app: 'src/main.tsx', look: 'src/look/look.css', desk: 'src/look/desk.css' },
    outdir: 'dist',
    entryNames: 'a/[name]-[hash]',
    chunkNames: 'a/[name]-[hash]',
    format: 'esm',
    splitting: true,
    minify: true,
    sourcemap: false,
    legalComments: 'linked',
    metafile: true,
  });
  const output = Object.entries(shipped.metafile.outputs);
  const entry = (source) => {
    const found = output.find(([, what]) => what.entryPoint === source);
    if (!found) throw new Error(`nothing was built from ${source}`);
    return `/${relative(dist, join(here, found[0]))}`;
  };
  const script = entry('src/main.tsx');
  const page = (await readFile(join(here, 'src/index.html'), 'utf8'))
    .replace('{{script}}', script)
    .replace('{{style}}', entry('src/look/look.css'))
    .replace('{{desk}}', entry('src/look/desk.css'));
  await writeFile(join(dist, 'index.html'), page);
  for (const name of await readdir(join(here, 'public'))) await copyFile(join(here, 'public', name), join(dist, name));
  await copyEngine();

  // What the worker keeps: everything but itself and licences. Its cache is named by the content of all of it.
  const kept = (await filesBelow(dist)).filter((path) => !path.endsWith('.LEGAL.txt'));
  const hash = createHash('sha256');
  for (const path of kept) hash.update(relative(dist, path)).update(await readFile(path));
  await build({
    ...common,
    entryPoints: ['src/worker/sw.ts'],
    outfile: 'dist/sw.js',
    format: 'iife',
    minify: true,
    define: {
      SHELL: JSON.stringify(hash.digest('hex').slice(0, 16)),
      FILES: JSON.stringify(
        kept.map((path) => `/${relative(dist, path)}`).map((path) => (path === '/index.html' ? '/' : path)),
      ),
    },
  });

  for (const path of await filesBelow(dist)) {
    if (/\.(html|js|css|json|svg|webmanifest|wasm|txt)$/.test(path)) {
      await writeFile(`${path}.gz`, gzipSync(await readFile(path), { level: 9 }));
    }
  }
  await report(output, script);
}

/** The weight of the first load: what the volunteer's phone fetches before the round can be worked through. */
async function report(output, script) {
  const first = new Set();
  const follow = (name) => {
    if (first.has(name)) return;
    first.add(name);
    for (const each of output.find(([key]) => key === name)[1].imports) {
      if (each.kind === 'import-statement') follow(each.path);
    }
  };
  follow(`dist${script}`);
  const names = [...[...first].map((name) => relative('dist', name)), 'index.html', 'sw.js', 'trend.wasm'];
  for (const [name, what] of output) if (what.entryPoint === 'src/look/look.css') names.push(relative('dist', name));
  const sizes = {};
  for (const name of names) {
    const size = await stat(join(dist, `${name}.gz`)).catch(() => null);
    if (size) sizes[name] = size.size;
  }
  const sum = Object.values(sizes).reduce((a, b) => a + b, 0);
  await writeFile(join(here, 'build/first-load.json'), JSON.stringify({ bytes: sum, files: sizes }, null, 2));
  process.stdout.write(`built, first load ${(sum / 1000).toFixed(1)} KB compressed\n`);
}

await mkdir(join(here, 'build'), { recursive: true });
if (process.argv.includes('--tests')) await buildTests();
else if (process.argv.includes('--watch')) {
  const watcher = await context({
    ...common,
    entryPoints: ['src/main.tsx', 'src/look/look.css', 'src/look/desk.css'],
    outdir: 'build/watch',
    format: 'esm',
    splitting: true,
    plugins: [{ name: 'whole', setup: (it) => it.onEnd(() => buildClient().catch((error) => console.error(error))) }],
  });
  await watcher.watch();
} else await buildClient();
