// The coordinator's desk: what a volunteer's check raised is there, is taken, noted and settled; two at once is settled
// by words.
import assert from 'node:assert/strict';
import { randomUUID } from 'node:crypto';
import { after, before, describe, it } from 'node:test';
import { answersAsUsual, Api, closeContext, coordinator, DESK, openBrowser, seed, signedIn, until } from './support.mjs';

let browser;
let api;
let home;

before(async () => {
  browser = await openBrowser();
  api = await Api.open();
  home = await seed(api, ['Ginger', 'Hazel', 'Linden']);
  for (const [at, share] of [
    [0, 0.88],
    [1, 0.87],
  ]) {
    const animal = home.animals[at];
    const grams = Math.round(animal.grams * share);
    await api.call('PUT', `/checks/${randomUUID()}`, {
      animal: animal.id,
      home: home.home,
      kind: 'weekly',
      at: new Date(Date.now() - 60_000).toISOString(),
      answers: { ...answersAsUsual(home.catalogue, 'guinea_pig'), teeth: 'findings' },
      findings: [{ sign: 'drool', grade: 'marked' }],
      weighing: { scale: home.scale, readings: [grams, grams - 1], zeroed: true, confirmed: true },
    });
  }
});
after(async () => {
  await browser?.close();
});

async function alertOf(at) {
  const { alerts } = await api.get(`/alerts?state=open&animal=${home.animals[at].id}`);
  assert.ok(alerts.length > 0, 'the check raised an alert');
  return alerts[0];
}

describe('the desk', () => {
  it('shows the alert with its reason in words, chart, findings and course', async () => {
    const { context, page } = await signedIn(browser, coordinator, DESK);
    const alert = await alertOf(0);
    await page.goto('/desk');
    await page.click(`a[href="/desk/${alert.id}"]`);
    await page.waitForSelector('.evidence h2:has-text("Ginger")');
    const why = await page.textContent('.evidence-why');
    assert.match(why, /own level/);
    assert.match(why, /chin/);
    assert.doesNotMatch(why, /undefined|NaN|null|drool/);
    await page.waitForSelector('.evidence .chart svg[role=img]');
    const title = await page.textContent('.evidence .chart svg title');
    assert.match(title, /Ginger, weight over 26 weeks/);
    assert.match(await page.textContent('.evidence .chart svg desc'), /weights from \d+/);
    assert.ok((await page.locator('.evidence .matrix .cell-marked').count()) > 0, 'the marked sign is a large dot');
    assert.match(await page.textContent('.evidence'), /does not diagnose/);
    await closeContext(context);
  });

  it('takes with T, notes with N and settles with an outcome', async () => {
    const { context, page } = await signedIn(browser, coordinator, DESK);
    const alert = await alertOf(0);
    await page.goto(`/desk/${alert.id}`);
    await page.waitForSelector('.evidence-actions button:has-text("Take"):not([disabled])');
    await page.keyboard.press('t');
    await until('taken on the server', async () => (await api.get(`/alerts/${alert.id}`)).alert.state === 'in_hand');

    await page.goto(`/desk/${alert.id}`);
    await page.waitForSelector('.evidence-actions button:has-text("Note"):not([disabled])');
    await page.keyboard.press('n');
    await page.waitForSelector('#step-note');
    await page.fill('#step-note', 'Asked Wren for a look at the chin.');
    await page.click('button:has-text("Keep the note")');
    await page.waitForSelector('.course:has-text("Asked Wren")');

    await page.keyboard.press('s');
    await page.waitForSelector('.step-form:has-text("How did it end?")');
    await page.click('.step-form button[type=submit]');
    await page.waitForSelector('text=Please say how it ended.');
    await page.click('label:has-text("a measuring error")');
    await page.click('.step-form button[type=submit]');
    await until('settled on the server', async () => (await api.get(`/alerts/${alert.id}`)).alert.state === 'settled');
    const { alert: settled, steps } = await api.get(`/alerts/${alert.id}`);
    assert.equal(settled.outcome, 'measuring_error');
    assert.deepEqual(steps.map((step) => step.step).sort(), ['note', 'settled', 'taken']);
    await closeContext(context);
  });

  it('shows both when two decide at once, and adds mine only when I say so', async () => {
    const { context, page } = await signedIn(browser, coordinator, DESK);
    const alert = await alertOf(1);
    await page.goto(`/desk/${alert.id}`);
    await page.waitForSelector('.evidence-actions button:has-text("Book a vet"):not([disabled])');
    const { alert: current } = await api.get(`/alerts/${alert.id}`);
    const response = await fetch(`${process.env.GW_WEB_URL}/api/v1/alerts/${alert.id}/steps`, {
      method: 'POST',
      headers: { 'Content-Type': 'application/json', Authorization: `Bearer ${api.token}`, 'If-Match': `"${current.version}"` },
      body: JSON.stringify({ id: randomUUID(), step: 'watching', note: 'Wait for Thursday.' }),
    });
    assert.equal(response.status, 201);
    await page.keyboard.press('v');
    await page.fill('#step-note', 'Heron Street');
    await page.click('button:has-text("Note the visit")');
    await page.waitForSelector('.clash');
    assert.match(await page.textContent('.evidence-bar'), /Theirs.*Wait for Thursday.*Yours.*Heron Street/s);
    await page.click('button:has-text("Add mine too")');
    await page.waitForSelector('.course:has-text("Heron Street")');
    const steps = (await api.get(`/alerts/${alert.id}`)).steps.map((step) => step.step);
    assert.deepEqual(steps.sort(), ['vet_booked', 'watching']);
    await closeContext(context);
  });

  it('moves by J and K and opens the chosen row beside the list', async () => {
    const { context, page } = await signedIn(browser, coordinator, DESK);
    await page.goto('/desk');
    await page.waitForSelector('.desk-row[aria-current]');
    const first = await page.getAttribute('.desk-row[aria-current]', 'href');
    await page.keyboard.press('j');
    await until('the next row is chosen', async () => (await page.getAttribute('.desk-row[aria-current]', 'href')) !== first);
    await page.keyboard.press('k');
    await until('the first row is chosen again', async () => (await page.getAttribute('.desk-row[aria-current]', 'href')) === first);
    await closeContext(context);
  });
});

describe('an arrival', () => {
  it('keeps what was typed over a reload, says a fault at its field, and takes the animal in', async () => {
    const { context, page } = await signedIn(browser, coordinator, DESK);
    await page.goto('/arrivals');
    await page.fill('#name', 'Quince');
    await page.fill('#chip', '12345');
    await page.fill('#coat', 'black');
    await until('kept', () =>
      page.evaluate(
        () =>
          new Promise((done) => {
            const open = indexedDB.open('gramwell');
            open.onsuccess = () => {
              const ask = open.result.transaction('remembered').objectStore('remembered').get('arrival');
              ask.onsuccess = () => {
                open.result.close();
                done(ask.result?.value.coat === 'black');
              };
            };
          }),
      ),
    );
    await page.reload();
    await page.waitForSelector('#name');
    assert.equal(await page.inputValue('#name'), 'Quince');
    await page.click('button[type=submit]');
    await page.waitForSelector('#chip-say');
    assert.match(await page.textContent('#chip-say'), /15 digits/);
    assert.match(await page.textContent('#home-say'), /Where does it go/);
    await page.fill('#chip', '');
    await page.selectOption('#home', home.home);
    await page.waitForSelector(`#pen option[value="${home.pen}"]`, { state: 'attached' });
    await page.selectOption('#pen', home.pen);
    await page.click('button:has-text("All the rest as usual")');
    await page.selectOption('#scale', home.scale);
    await page.fill('#reading-0', '811');
    await page.fill('#reading-1', '796');
    await page.waitForSelector('text=/A third one decides/');
    await page.fill('#reading-2', '809');
    await page.waitForSelector('text=/809.g counts/');
    await page.click('button:has-text("Take in Quince")');
    await page.waitForSelector('text=/is in\\./');
    const { pens } = await api.get(`/homes/${home.home}`);
    assert.ok(pens.some((pen) => pen.animals.some((animal) => animal.name === 'Quince' && animal.last.grams === 809)));
    assert.equal(await page.inputValue('#name'), '', 'ready for the next');
    await page.click('button:has-text("Clear the page")');
    await closeContext(context);
  });
});

describe('a scale', () => {
  it('is tested with a known mass', async () => {
    const { context, page } = await signedIn(browser, coordinator, DESK);
    await page.goto(`/scales/${home.scale}`);
    await page.fill('#mass', '500');
    await page.fill('#reading', '501');
    await page.click('button:has-text("Note this test")');
    await page.waitForSelector('text=/Passed\\./');
    const scale = await api.get(`/scales/${home.scale}`);
    assert.equal(scale.last_test.passed, true);
    assert.equal(scale.last_test.reading, 501);
    await closeContext(context);
  });
});
