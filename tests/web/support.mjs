// One browser for a test file, people and animals of its own on a real server, and what the tests have in common.
import assert from 'node:assert/strict';
import { randomUUID } from 'node:crypto';
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { chromium } from 'playwright-core';

export const base = process.env.GW_WEB_URL;
export const coordinator = { email: process.env.GW_WEB_COORDINATOR, passphrase: process.env.GW_WEB_PASSPHRASE };
export const volunteer = {
  email: process.env.GW_WEB_VOLUNTEER,
  passphrase: process.env.GW_WEB_VOLUNTEER_PASSPHRASE ?? process.env.GW_WEB_PASSPHRASE,
};
export const PHONE = { width: 390, height: 844 };
export const DESK = { width: 1280, height: 900 };
export const DAY = 86_400_000;

export async function openBrowser() {
  return chromium.launch({
    executablePath: process.env.CHROMIUM,
    headless: true,
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
    ],
  });
}

/** A context as a phone or a desk has it. Errors of the page fail the test that caused them. */
export async function openContext(browser, size = PHONE, more = {}) {
  const phone = size.width < 600;
  const context = await browser.newContext({
    viewport: size,
    baseURL: base,
    hasTouch: phone,
    isMobile: phone,
    locale: 'en-GB',
    timezoneId: 'Europe/London',
    ...more,
  });
  context.setDefaultTimeout(15_000);
  context.faults = [];
  context.on('weberror', (error) => context.faults.push(String(error.error().stack)));
  context.on('console', (message) => {
    if (message.type() === 'error' && /Content Security Policy|Refused to/.test(message.text())) context.faults.push(message.text());
  });
  return context;
}

export async function closeContext(context) {
  await context.close();
  assert.deepEqual(context.faults, [], 'errors of the page or violations of its security policy');
}

export async function signIn(page, who) {
  await page.goto('/signin');
  await page.fill('#email', who.email);
  await page.fill('#passphrase', who.passphrase);
  await page.click('button[type=submit]');
  await page.waitForURL((url) => url.pathname !== '/signin');
  await page.waitForSelector('h1');
}

const sessions = new Map();

/** Signed in once for a person; later contexts take the cookies over. */
export async function signedIn(browser, who, size, more) {
  const context = await openContext(browser, size, { ...more, ...(sessions.has(who.email) ? { storageState: sessions.get(who.email) } : {}) });
  const page = await context.newPage();
  if (!sessions.has(who.email)) {
    await signIn(page, who);
    sessions.set(who.email, await context.storageState());
  } else {
    // The cookie is the session; the page learns who it is from the server.
    await page.goto('/signin');
    await page.evaluate(async () => {
      const answer = await fetch('/api/v1/me');
      const me = await answer.json();
      const open = indexedDB.open('gramwell');
      await new Promise((done) => {
        open.onsuccess = done;
      });
      const tx = open.result.transaction('remembered', 'readwrite');
      tx.objectStore('remembered').put({ key: 'me', at: new Date().toISOString(), value: me });
      await new Promise((done) => {
        tx.oncomplete = done;
      });
      open.result.close();
    });
  }
  return { context, page };
}

/** The HTTP interface with a bearer token, for making what a test needs. */
export class Api {
  static async open(who = coordinator) {
    const api = new Api();
    const answer = await api.call('POST', '/session', { ...who, bearer: true });
    api.token = answer.token;
    return api;
  }

  async call(method, path, body) {
    const response = await fetch(`${base}/api/v1${path}`, {
      method,
      headers: {
        ...(body === undefined ? {} : { 'Content-Type': 'application/json' }),
        ...(this.token ? { Authorization: `Bearer ${this.token}` } : {}),
      },
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    });
    const text = await response.text();
    assert.ok(response.ok, `${method} ${path}: ${response.status} ${text}`);
    return text ? JSON.parse(text) : null;
  }

  get(path) {
    return this.call('GET', path);
  }
}

export function answersAsUsual(catalogue, species) {
  const wanted = catalogue.species.find((each) => each.code === species)?.regions;
  return Object.fromEntries(
    catalogue.regions.filter((region) => region.code !== 'weight' && (!wanted || wanted.includes(region.code))).map((region) => [region.code, 'as_usual']),
  );
}

/**
 * A home with a pen, a scale, a volunteer who has not joined yet, and guinea pigs with weekly checks behind them, the
 * last one eight days ago: all are due.
 */
export async function seed(api, names) {
  const mark = randomUUID().slice(0, 6);
  const home = randomUUID();
  const pen = randomUUID();
  const scale = randomUUID();
  const catalogue = await api.get('/catalogue');
  await api.call('PUT', `/homes/${home}`, { name: `Test loft ${mark}`, kind: 'foster', zone: 'Europe/London' });
  await api.call('PUT', `/homes/${home}/pens/${pen}`, { name: 'Pen 1' });
  await api.call('PUT', `/scales/${scale}`, { home, name: 'Kitchen scale', step: 1, capacity: 5000 });
  const email = `wren.${mark}@test.invalid`;
  const invited = await api.call('POST', '/people', { name: `Wren ${mark}`, email, role: 'volunteer' });
  await api.call('PUT', `/homes/${home}/people/${invited.person.id}`, { from: new Date(Date.now() - 100 * DAY).toISOString() });
  const animals = [];
  for (const [at, name] of names.entries()) {
    const id = randomUUID();
    const grams = 960 + 20 * at;
    const weighing = (week) => ({ scale, readings: [grams + ((week * 7) % 5) - 2], zeroed: true, confirmed: false });
    const came = new Date(Date.now() - 71 * DAY);
    await api.call('PUT', `/arrivals/${randomUUID()}`, {
      kind: 'surrender',
      at: came.toISOString(),
      home,
      pen,
      animal: { id, name, species: 'guinea_pig', sex: 'female', stage: 'adult', coat: 'ginger', markings: 'white saddle' },
      baseline: { id: randomUUID(), at: came.toISOString(), answers: answersAsUsual(catalogue, 'guinea_pig'), findings: [], weighing: weighing(0) },
    });
    for (let week = 1; week <= 9; week += 1) {
      await api.call('PUT', `/checks/${randomUUID()}`, {
        animal: id,
        home,
        kind: 'weekly',
        at: new Date(came.getTime() + week * 7 * DAY).toISOString(),
        answers: answersAsUsual(catalogue, 'guinea_pig'),
        findings: [],
        weighing: weighing(week),
      });
    }
    animals.push({ id, name, grams });
  }
  return { home, pen, scale, animals, catalogue, join: invited.invitation, person: { email, passphrase: `five plain words of ${mark}` } };
}

/** The invited volunteer spends the link and chooses a passphrase, in the browser. */
export async function join(browser, seeded) {
  const context = await openContext(browser);
  const page = await context.newPage();
  await page.goto(seeded.join);
  await page.fill('#passphrase', 'short');
  await page.click('button[type=submit]');
  await page.waitForSelector('text=A little longer');
  await page.fill('#passphrase', seeded.person.passphrase);
  await page.click('button[type=submit]');
  await page.waitForSelector('h1:has-text("You are in")');
  await closeContext(context);
}

let axeSource = null;

export async function axe(page) {
  axeSource ??= await readFile(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
  // As tall as the page: what scrolls under the sticky bar would count as covered, wherever the fold happens to be.
  const { width, height } = page.viewportSize();
  const whole = await page.evaluate(() => document.documentElement.scrollHeight);
  if (whole > height) await page.setViewportSize({ width, height: whole });
  await page.evaluate(axeSource);
  const found = await page.evaluate(() =>
    globalThis.axe.run(document, {
      runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'],
      resultTypes: ['violations'],
    }),
  );
  await page.setViewportSize({ width, height });
  return found.violations.map((each) => `${each.id}: ${each.nodes.map((node) => node.target.join(' ')).join(' | ')}`);
}

/** Until it is so, with a deadline: never a sleep and a hope. */
export async function until(what, is, ms = 15_000) {
  const end = Date.now() + ms;
  for (;;) {
    const value = await is();
    if (value) return value;
    if (Date.now() > end) assert.fail(`not within ${ms} ms: ${what}`);
    await new Promise((done) => setTimeout(done, 50));
  }
}
