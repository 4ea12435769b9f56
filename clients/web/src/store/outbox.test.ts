import assert from 'node:assert/strict';
import { afterEach, describe, it } from 'node:test';
import 'fake-indexeddb/auto';
import { database, type Kept } from './db';
import { flush, keep, type Outcome, sendAgain, sentLately, waiting } from './outbox';

const kept = (check: string, person = 'ines'): Kept => ({
  shape: 1,
  check,
  person,
  animal: { id: `animal-${check}`, name: 'Pepper' },
  home: 'home',
  body: {
    animal: `animal-${check}`,
    home: 'home',
    kind: 'weekly',
    at: '2026-11-24T08:04:00Z',
    answers: {},
    findings: [],
    weighing: null,
  },
  kept_at: '2026-11-24T08:04:00Z',
  refused: null,
  refused_status: null,
});
const stored: Outcome = { is: 'stored', answer: null };
const checks = (list: { check: string }[]) => list.map((each) => each.check);

afterEach(async () => {
  const db = await database();
  for (const store of ['outbox', 'sent', 'drafts'] as const) await db.clear(store);
});

describe('the queue of checks', () => {
  it('keeps one check once, whoever presses twice', async () => {
    const db = await database();
    await keep(db, kept('1'));
    await keep(db, kept('1'));
    assert.deepEqual(checks(await waiting(db)), ['1']);
  });
  it('sends in the order in which it was kept, and remembers what was sent', async () => {
    const db = await database();
    for (const id of ['1', '2', '3']) await keep(db, kept(id));
    const seen: string[] = [];
    const result = await flush(db, 'ines', async (one) => {
      seen.push(one.check);
      return stored;
    });
    assert.deepEqual(seen, ['1', '2', '3']);
    assert.deepEqual(result, { stored: 3, refused: 0, stopped: null });
    assert.deepEqual(await waiting(db), []);
    assert.equal((await sentLately(db)).length, 3);
  });
  it('stops at the first that does not get through, and loses nothing', async () => {
    const db = await database();
    for (const id of ['1', '2', '3']) await keep(db, kept(id));
    const result = await flush(db, 'ines', async (one) => (one.check === '2' ? { is: 'unreachable' } : stored));
    assert.deepEqual(result, { stored: 1, refused: 0, stopped: 'unreachable' });
    assert.deepEqual(checks(await waiting(db)), ['2', '3']);
  });
  it('stays whole when the session has run out', async () => {
    const db = await database();
    await keep(db, kept('1'));
    const result = await flush(db, 'ines', async () => ({ is: 'signed_out' }));
    assert.equal(result.stopped, 'signed_out');
    assert.deepEqual(checks(await waiting(db)), ['1']);
  });
  it('marks a refused one with its words and lets the others pass', async () => {
    const db = await database();
    for (const id of ['1', '2']) await keep(db, kept(id));
    const refusing = async (one: Kept): Promise<Outcome> =>
      one.check === '1' ? { is: 'refused', status: 422, words: 'moved to Old Dairy' } : stored;
    assert.deepEqual(await flush(db, 'ines', refusing), { stored: 1, refused: 1, stopped: null });
    const [left] = await waiting(db);
    assert.equal(left?.refused, 'moved to Old Dairy');
    assert.deepEqual(await flush(db, 'ines', refusing), { stored: 0, refused: 0, stopped: null });
    await sendAgain(db, left as Kept, { ...(left as Kept).body, home: 'old-dairy' });
    let home = '';
    await flush(db, 'ines', async (one) => {
      home = one.body.home;
      return stored;
    });
    assert.equal(home, 'old-dairy');
  });
  it('never sends one person’s checks under another’s name', async () => {
    const db = await database();
    await keep(db, kept('1', 'ines'));
    await keep(db, kept('2', 'tom'));
    await flush(db, 'tom', async () => stored);
    assert.deepEqual(checks(await waiting(db)), ['1']);
  });
  it('forgets what was sent after two days', async () => {
    const db = await database();
    await keep(db, kept('1'));
    await flush(
      db,
      'ines',
      async () => stored,
      () => new Date('2026-11-24T09:00:00Z'),
    );
    await flush(
      db,
      'ines',
      async () => stored,
      () => new Date('2026-11-26T08:59:00Z'),
    );
    assert.equal((await sentLately(db)).length, 1);
    await flush(
      db,
      'ines',
      async () => stored,
      () => new Date('2026-11-26T09:01:00Z'),
    );
    assert.equal((await sentLately(db)).length, 0);
  });
});
