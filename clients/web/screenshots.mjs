// node clients/web/screenshots.mjs    the pictures of the README, from a server with the demo network
//   GW_WEB_URL (default http://127.0.0.1:8080), CHROMIUM (default: chromium of the path)
// Sign-ins are those that the demo publishes. Nothing is kept on the server: the check is thrown away half done.
import { execFileSync } from 'node:child_process';
import { mkdir } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const here = dirname(fileURLToPath(import.meta.url));
const { chromium } = createRequire(join(here, '../../tests/web/package.json'))('playwright-core');
const base = process.env.GW_WEB_URL ?? 'http://127.0.0.1:8080';
const volunteer = ['volunteer@demo.invalid', 'thistle seed and clover hay'];
const coordinator = ['coordinator@demo.invalid', 'a steady hand and a kind word'];
const to = (name) => join(here, 'screenshots', `${name}.png`);

async function signedIn(browser, [email, passphrase], viewport, deviceScaleFactor) {
  const context = await browser.newContext({
    baseURL: base,
    viewport,
    deviceScaleFactor,
    hasTouch: viewport.width < 600,
    isMobile: viewport.width < 600,
    locale: 'en-GB',
    timezoneId: 'Europe/London',
    serviceWorkers: 'block',
    reducedMotion: 'reduce',
  });
  const page = await context.newPage();
  await page.goto('/signin');
  await page.fill('#email', email);
  await page.fill('#passphrase', passphrase);
  await page.click('button[type=submit]');
  await page.waitForURL((url) => url.pathname !== '/signin');
  await page.waitForLoadState('networkidle');
  return { context, page };
}

async function ofVolunteer(browser) {
  const { context, page } = await signedIn(browser, volunteer, { width: 390, height: 844 }, 1.5);
  await page.waitForSelector('.stop, .done-row');
  await page.screenshot({ path: to('today') });
  const round = await page.evaluate(async () => (await fetch('/api/v1/round')).json());
  const animals = round.homes
    .flatMap((home) => home.pens.flatMap((pen) => pen.animals))
    .filter((animal) => animal.last);
  const steady = animals.find((animal) => animal.level === 'steady') ?? animals[0];
  await page.goto(`/check/${steady.id}`);
  await page.click('button:has-text("All the rest as usual")');
  await page.click('button:has-text("It is at zero")');
  await page.waitForSelector('.pad');
  const low = Math.round(steady.last.grams * 0.92);
  await page.fill('#reading', String(low));
  await page.click('button:has-text("Take reading")');
  await page.waitForSelector('.question');
  await page.fill('#reading', String(low).slice(0, 2));
  await page.evaluate(() => document.activeElement?.blur());
  await page.screenshot({ path: to('check-weight') });
  await context.close();
}

async function ofCoordinator(browser) {
  const { context, page } = await signedIn(browser, coordinator, { width: 1280, height: 900 }, 1);
  const { alerts } = await page.evaluate(async () => (await fetch('/api/v1/alerts?state=open')).json());
  const told = alerts.find((alert) => alert.kind === 'dental') ?? alerts.find((alert) => alert.animal) ?? alerts[0];
  await page.goto(`/desk/${told.id}`);
  await page.waitForSelector('.evidence .matrix, .evidence .course');
  await page.waitForLoadState('networkidle');
  await page.screenshot({ path: to('desk') });
  // The home with the most to tell: where most animals showed something in the last weeks.
  const home = await page.evaluate(async () => {
    const get = async (path) => (await fetch(`/api/v1${path}`)).json();
    const { homes } = await get('/homes');
    const told = await Promise.all(
      homes.map(async ({ id }) => ({ id, strokes: (await get(`/homes/${id}/findings?weeks=10`)).strokes.length })),
    );
    return told.reduce((most, each) => (each.strokes > most.strokes ? each : most)).id;
  });
  await page.goto(`/homes/${home}`);
  await page.waitForSelector('.tally');
  await page.waitForLoadState('networkidle');
  await page.screenshot({ path: to('home') });
  await context.close();
}

await mkdir(join(here, 'screenshots'), { recursive: true });
const browser = await chromium.launch({
  executablePath:
    process.env.CHROMIUM ?? execFileSync('sh', ['-c', 'command -v chromium'], { encoding: 'utf8' }).trim(),
  args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking'],
});
try {
  await ofVolunteer(browser);
  await ofCoordinator(browser);
} finally {
  await browser.close();
}
