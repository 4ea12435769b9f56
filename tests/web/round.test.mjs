// The volunteer's round: joined by a link, worked through by touch and by keyboard, with and without a network.
import assert from 'node:assert/strict';
import { after, before, describe, it } from 'node:test';
import { Api, closeContext, join, openBrowser, PHONE, seed, signedIn, signIn, openContext, until } from './support.mjs';

let browser;
let api;
let home;

before(async () => {
  browser = await openBrowser();
  api = await Api.open();
  home = await seed(api, ['Alder', 'Bryony', 'Comfrey', 'Daisy', 'Elder', 'Fennel']);
  await join(browser, home);
});
after(async () => {
  await browser?.close();
});

const animal = (name) => home.animals.find((each) => each.name === name);

async function newest(name) {
  const { checks } = await api.get(`/animals/${animal(name).id}/history?limit=3`);
  return checks[0];
}

/** Counts presses, as a person would. */
function presser(page) {
  const count = { n: 0 };
  const press = async (selector) => {
    count.n += 1;
    await page.tap(selector);
  };
  const digits = async (grams) => {
    for (const digit of String(grams)) await press(`.pad button:has-text("${digit}")`);
  };
  return { count, press, digits };
}

/** From the first region to the pad; the bowl is asked for once a session. */
async function toWeight(page, name, press = (selector) => page.tap(selector)) {
  await page.goto(`/check/${animal(name).id}`);
  await page.waitForSelector('h1:has-text("Behaviour")');
  await press('button:has-text("All the rest as usual")');
  await page.waitForSelector('.pad, button:has-text("It is at zero")');
  if (await page.isVisible('button:has-text("It is at zero")')) await press('button:has-text("It is at zero")');
  await page.waitForSelector('.pad');
}

describe('the round by touch', () => {
  it('needs at most nine presses for an animal without findings, and is stored with its verdict', async () => {
    const { context, page } = await signedIn(browser, home.person, PHONE);
    await page.goto('/');
    await page.waitForSelector('h1:has-text("Your round")');
    assert.match(await page.textContent('main'), /6 of 6 still to do/);
    const { count, press, digits } = presser(page);
    await press('button:has-text("Start with Alder")');
    await page.waitForSelector('h1:has-text("Behaviour")');
    await press('button:has-text("All the rest as usual")');
    await press('button:has-text("It is at zero")');
    await digits(animal('Alder').grams + 1);
    await press('button:has-text("Take reading")');
    await page.waitForSelector('h1:has-text("steady")');
    await press('button:has-text("Keep this check")');
    await page.waitForSelector('button:has-text("Next: Bryony")');
    assert.ok(count.n >= 7 && count.n <= 9, `${count.n} presses`);
    await page.waitForSelector('text=/Alder: sent/');
    const stored = await newest('Alder');
    assert.equal(stored.weighing.grams, animal('Alder').grams + 1);
    assert.equal(stored.verdict.level, 'steady');
    assert.equal(stored.answers.teeth, 'as_usual');
    assert.ok(stored.minutes >= 1);
    // The second animal: the bowl is not asked for again in this session.
    await press('button:has-text("Next: Bryony")');
    await press('button:has-text("All the rest as usual")');
    await page.waitForSelector('.pad');
    await page.goto('/');
    await page.waitForSelector('text=/Half done, at the weight/');
    await closeContext(context);
  });

  it('asks for a second reading when the number looks like a slip, and takes "it is right"', async () => {
    const { context, page } = await signedIn(browser, home.person, PHONE);
    const { press, digits } = presser(page);
    await toWeight(page, 'Comfrey');
    const low = Math.round(animal('Comfrey').grams * 0.89);
    await digits(low);
    await press('button:has-text("Take reading")');
    await page.waitForSelector('h1:has-text("Please weigh once more")');
    assert.match(await page.textContent('.question'), new RegExp(`First reading\\s*${low}`));
    assert.ok(await page.isVisible('.pad'), 'the question keeps the pad open');
    await digits(low - 1);
    await press('button:has-text("Take reading")');
    await page.waitForSelector('.word-level');
    assert.match(await page.textContent('.word-level'), /same day|vet soon|emergency/);
    assert.match(await page.textContent('.word-sentence'), /less than last week.*of Comfrey's own level/);
    assert.ok(await page.isVisible('.word-chart svg'));
    assert.match(await page.textContent('main'), /it does not diagnose/);
    const said = (await page.textContent('.word-level')).trim().replace(' ', '_');
    await press('button:has-text("Keep this check")');
    await page.waitForSelector('text=/Comfrey: sent/');
    const stored = await newest('Comfrey');
    assert.deepEqual(stored.weighing.readings, [low, low - 1]);
    assert.equal(stored.verdict.level, said, 'phone and server say the same');

    await toWeight(page, 'Daisy');
    await digits(Math.round(animal('Daisy').grams * 0.9));
    await press('button:has-text("Take reading")');
    await press('button:has-text("is right")');
    await page.waitForSelector('text=You said: it is right');
    await closeContext(context);
  });

  it('keeps what was typed and says at the field why it cannot be', async () => {
    const { context, page } = await signedIn(browser, home.person, PHONE);
    await toWeight(page, 'Bryony');
    for (const [typed, words] of [
      ['1,050', /two ways/],
      ['0', /anybody on the scale/],
      ['9810', /more than a guinea pig can weigh/],
      ['9.8', /whole grams/],
    ]) {
      await page.fill('#reading', typed);
      await page.tap('button:has-text("Take reading")');
      await until(`words about ${typed}`, async () => words.test(await page.textContent('.weigh-say')));
      assert.equal(await page.inputValue('#reading'), typed);
    }
    await closeContext(context);
  });

  it('opens Help before anything else when an emergency sign is ticked, and comes back to the check', async () => {
    const { context, page } = await signedIn(browser, home.person, PHONE);
    await page.goto(`/check/${animal('Elder').id}`);
    await page.waitForSelector('h1:has-text("Behaviour")');
    await page.tap('label[for=sign-hunched_still]');
    await page.waitForSelector('.help h1');
    assert.match(await page.textContent('.help h1'), /Elder/);
    const number = await page.getAttribute('.help-first', 'href');
    assert.match(number, /^tel:\+?\d+$/);
    assert.match(await page.textContent('.help'), /does not diagnose/);
    await page.tap('button:has-text("Back to the check")');
    await page.waitForSelector('h1:has-text("Behaviour")');
    assert.ok(await page.isChecked('#sign-hunched_still'), 'the sign is kept');
    // Unticked again: this animal is well.
    await page.tap('label[for=sign-hunched_still]');
    await page.waitForSelector('button:has-text("Behaviour as usual")');
    await closeContext(context);
  });
});

describe('the round by keyboard alone', () => {
  it('goes from the round to a kept check without a pointer', async () => {
    const { context, page } = await signedIn(browser, home.person, PHONE);
    await page.goto('/');
    await page.waitForSelector('h1:has-text("Your round")');
    const tabTo = async (label) => {
      for (let n = 0; n < 80; n += 1) {
        await page.keyboard.press('Tab');
        const at = await page.evaluate(() => document.activeElement?.textContent?.trim() ?? '');
        if (label.test(at)) return;
      }
      assert.fail(`Tab never reached ${label}`);
    };
    await tabTo(/^Fennel/);
    await page.keyboard.press('Enter');
    await page.waitForSelector('h1:has-text("Behaviour")');
    await until('the focus is on the heading', () => page.evaluate(() => document.activeElement?.tagName === 'H1'));
    await tabTo(/^Behaviour as usual$/);
    await page.keyboard.press('Enter');
    await page.waitForSelector('h1:has-text("Breathing")');
    await until('the focus is on the new heading', () => page.evaluate(() => document.activeElement?.textContent === 'Breathing'));
    await tabTo(/^All the rest as usual$/);
    await page.keyboard.press('Space');
    await page.waitForSelector('.pad, button:has-text("It is at zero")');
    if (await page.isVisible('button:has-text("It is at zero")')) {
      await tabTo(/^It is at zero$/);
      await page.keyboard.press('Enter');
    }
    await page.waitForSelector('.pad');
    await page.keyboard.type(String(animal('Fennel').grams));
    await until('the digits are in the field', async () => (await page.inputValue('#reading')) === String(animal('Fennel').grams));
    await tabTo(/^Take reading$/);
    await page.keyboard.press('Enter');
    await page.waitForSelector('.word-level');
    await tabTo(/^Keep this check$/);
    await page.keyboard.press('Enter');
    await page.waitForSelector('text=/Fennel: sent/');
    assert.equal((await newest('Fennel')).weighing.grams, animal('Fennel').grams);
    await closeContext(context);
  });
});

describe('without a signal', () => {
  it('opens the round, keeps a check, survives a closed page and sends it exactly once', async () => {
    const context = await openContext(browser, PHONE);
    let page = await context.newPage();
    await signIn(page, home.person);
    await page.waitForSelector('h1:has-text("Your round")');
    await page.evaluate(async () => {
      await navigator.serviceWorker.ready;
      if (!navigator.serviceWorker.controller) {
        await new Promise((done) => navigator.serviceWorker.addEventListener('controllerchange', done, { once: true }));
      }
    });
    await until('the engine is on the phone', () => page.evaluate(() => caches.match('/trend.wasm').then(Boolean)));
    const before = (await api.get(`/animals/${animal('Daisy').id}/history?limit=50`)).checks.length;
    await context.setOffline(true);
    await page.reload();
    await page.waitForSelector('h1:has-text("Your round")');
    await toWeight(page, 'Daisy');
    for (const digit of String(animal('Daisy').grams)) await page.tap(`.pad button:has-text("${digit}")`);
    await page.tap('button:has-text("Take reading")');
    await page.waitForSelector('.word-level');
    assert.doesNotMatch(await page.textContent('main'), /word on the weight comes later/);
    await page.tap('button:has-text("Keep this check")');
    await page.waitForSelector('text=/Daisy: kept on this phone/');
    await page.waitForSelector('text=/No signal · 1 kept/');
    await page.close();

    page = await context.newPage();
    await page.goto('/kept');
    await page.waitForSelector('text=/1 check waits here/');
    const puts = [];
    context.on('request', (request) => {
      if (request.method() === 'PUT') puts.push(request.url());
    });
    await context.setOffline(false);
    await page.waitForSelector('h2:has-text("Sent")');
    await page.waitForSelector('text=/Nothing waits/');
    const history = (await api.get(`/animals/${animal('Daisy').id}/history?limit=50`)).checks;
    assert.equal(history.length, before + 1);
    assert.equal(puts.length, 1);
    await closeContext(context);
  });
});
