// Every screen: axe in light and dark, no sideways scroll, targets a thumb can hit, no key of the catalogue left as it is,
// and the weight of the first load.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { after, before, describe, it } from 'node:test';
import { Api, axe, closeContext, coordinator, DESK, openBrowser, openContext, PHONE, signedIn, signIn, until, volunteer } from './support.mjs';

const NARROW = { width: 320, height: 640 };
let browser;
let api;
let places;

before(async () => {
  browser = await openBrowser();
  api = await Api.open();
  const { homes } = await api.get('/homes');
  const full = homes.reduce((most, each) => (each.animals > most.animals ? each : most));
  const { pens, scales } = await api.get(`/homes/${full.id}`);
  const { alerts } = await api.get('/alerts?state=open');
  const asVolunteer = await Api.open(volunteer);
  const round = await asVolunteer.get('/round');
  const mine = round.homes.flatMap((home) => home.pens.flatMap((pen) => pen.animals))[0];
  const theirs = pens.flatMap((pen) => pen.animals)[0];
  places = {
    staff: [
      ['/desk', 'h1'],
      [`/desk/${alerts[0].id}`, '.evidence .caution'],
      [`/homes`, '.home-row'],
      [`/homes/${full.id}`, '.tally, .home-pens'],
      ['/animals', '.animal-list .ruled'],
      [`/animals/${theirs.id}`, '.matrix'],
      ['/arrivals', '#name'],
      ['/scales', '.home-row'],
      [`/scales/${scales[0].id}`, '#mass'],
      ['/people', '#person-name'],
      ['/more', '.out'],
    ],
    volunteer: [
      ['/', 'h1:has-text("Your round")'],
      [`/check/${mine.id}`, 'h1:has-text("Behaviour")'],
      [`/check/${mine.id}/all`, 'h1:has-text("All regions")'],
      [`/check/${mine.id}/weight`, '.slip, .pad'],
      ['/help', '.help h1'],
      ['/kept', 'h1'],
      ['/animals', '.animal-list .ruled'],
      [`/animals/${mine.id}`, '.matrix'],
    ],
  };
});
after(async () => {
  await browser?.close();
});

async function visit(page, [path, ready]) {
  await page.goto(path);
  await page.waitForSelector(ready);
  await page.waitForLoadState('networkidle');
}

/** The half check that a visit began is thrown away again. */
async function dropDrafts(page) {
  await page.evaluate(
    () =>
      new Promise((done) => {
        const open = indexedDB.open('gramwell');
        open.onsuccess = () => {
          const tx = open.result.transaction('drafts', 'readwrite');
          tx.objectStore('drafts').clear();
          tx.oncomplete = () => {
            open.result.close();
            done();
          };
        };
      }),
  );
}

const cases = [
  ['staff', coordinator, DESK],
  ['staff', coordinator, PHONE],
  ['volunteer', volunteer, PHONE],
];

for (const colorScheme of ['light', 'dark']) {
  describe(`axe, ${colorScheme}`, () => {
    for (const [who, person, size] of cases) {
      it(`finds nothing on the screens of ${who} at ${size.width} px`, async () => {
        const { context, page } = await signedIn(browser, person, size, { colorScheme });
        for (const place of places[who]) {
          await visit(page, place);
          assert.deepEqual(await axe(page), [], place[0]);
        }
        await dropDrafts(page);
        await closeContext(context);
      });
    }
    it('finds nothing where nobody is signed in', async () => {
      const context = await openContext(browser, PHONE, { colorScheme });
      const page = await context.newPage();
      for (const [path, ready] of [
        ['/', '#email'],
        ['/join/no-such-link', 'text=/used or has run out/'],
      ]) {
        await visit(page, [path, ready]);
        assert.deepEqual(await axe(page), [], path);
      }
      await closeContext(context);
    });
  });
}

describe('axe itself', () => {
  it('bites: pale text and a field without a label are found', async () => {
    const { context, page } = await signedIn(browser, volunteer, PHONE);
    await visit(page, places.volunteer[0]);
    await page.evaluate(() => {
      const pale = document.createElement('p');
      pale.textContent = 'This text is too pale to read.';
      pale.style.color = '#d8dccb';
      document.querySelector('main').append(pale, document.createElement('input'));
    });
    const found = await axe(page);
    assert.ok(
      found.some((each) => each.startsWith('color-contrast')),
      found.join('\n'),
    );
    assert.ok(
      found.some((each) => each.startsWith('label')),
      found.join('\n'),
    );
    await closeContext(context);
  });
});

describe('a phone', () => {
  for (const size of [NARROW, PHONE]) {
    it(`of ${size.width} px never scrolls sideways, and every target is 44 px`, async () => {
      for (const [who, person] of [
        ['staff', coordinator],
        ['volunteer', volunteer],
      ]) {
        const { context, page } = await signedIn(browser, person, size);
        for (const place of places[who]) {
          await visit(page, place);
          const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
          assert.ok(wide <= 0, `${place[0]} is ${wide} px too wide`);
          const small = await page.evaluate(() =>
            [...document.querySelectorAll('button, a.button, nav a, select, summary, input:not([type=checkbox], [type=radio], [type=range])')]
              .filter((each) => each.checkVisibility())
              .map((each) => ({ box: each.getBoundingClientRect(), words: each.textContent || each.id }))
              .filter(({ box }) => box.height > 0 && box.height < 43.5)
              .map(({ box, words }) => `${words.trim().slice(0, 30)}: ${Math.round(box.width)}x${Math.round(box.height)}`),
          );
          assert.deepEqual(small, [], `small targets on ${place[0]}`);
        }
        await dropDrafts(page);
        await closeContext(context);
      }
    });
  }

  it('reads no key of the catalogue and no number that is none', async () => {
    const text = new URL('../../clients/web/src/text/', import.meta.url);
    const keys = new Set(
      (await Promise.all(['en.json', 'en.desk.json'].map((name) => readFile(new URL(name, text), 'utf8')))).flatMap((file) => Object.keys(JSON.parse(file))),
    );
    for (const [who, person] of [
      ['staff', coordinator],
      ['volunteer', volunteer],
    ]) {
      const { context, page } = await signedIn(browser, person, PHONE);
      for (const place of places[who]) {
        await visit(page, place);
        const words = (await page.innerText('body')).split(/\s+/);
        assert.deepEqual(
          words.filter((word) => keys.has(word) || /^(NaN|undefined|null|\{\w+\})$/.test(word)),
          [],
          place[0],
        );
      }
      await dropDrafts(page);
      await closeContext(context);
    }
  });
});

describe('forced colours', () => {
  it('keep the marks and the chart visible', async () => {
    const { context, page } = await signedIn(browser, volunteer, PHONE, { forcedColors: 'active' });
    await visit(page, places.volunteer[7]);
    const colours = await page.evaluate(() => {
      const of = (selector, property) => {
        const element = document.querySelector(selector);
        return element ? getComputedStyle(element)[property] : null;
      };
      return { line: of('.chart-line', 'stroke'), ground: getComputedStyle(document.body).backgroundColor, mark: of('.mark-line', 'stroke') };
    });
    assert.ok(colours.line && colours.line !== colours.ground, JSON.stringify(colours));
    assert.ok(colours.mark && colours.mark !== colours.ground, JSON.stringify(colours));
    await closeContext(context);
  });
});

describe('the first load of the volunteer', () => {
  it('weighs at most 60 KB until the round and a check can be worked through; the engine comes after that', async () => {
    const context = await openContext(browser, PHONE, { serviceWorkers: 'block' });
    const page = await context.newPage();
    const cdp = await context.newCDPSession(page);
    await cdp.send('Network.enable');
    const urls = new Map();
    const sizes = new Map();
    cdp.on('Network.responseReceived', ({ requestId, response }) => urls.set(requestId, response.url));
    cdp.on('Network.loadingFinished', ({ requestId, encodedDataLength }) => {
      const url = urls.get(requestId);
      if (url && !url.includes('/api/')) sizes.set(new URL(url).pathname, encodedDataLength);
    });
    await signIn(page, volunteer);
    await page.waitForSelector('.stop, .done-row');
    await page.click('.stop >> nth=0');
    await page.waitForSelector('h1');
    await until('the engine has arrived', async () => sizes.has('/trend.wasm'));
    const engine = sizes.get('/trend.wasm');
    const first = [...sizes].filter(([path]) => path !== '/trend.wasm').reduce((sum, [, size]) => sum + size, 0);
    console.log(`first load ${(first / 1000).toFixed(1)} KB in ${sizes.size - 1} files; engine ${(engine / 1000).toFixed(1)} KB`);
    assert.ok(first > 20_000, 'something was measured');
    assert.ok(first <= 60_000, `${first} bytes: ${JSON.stringify([...sizes])}`);
    await dropDrafts(page);
    await context.close();
  });
});
