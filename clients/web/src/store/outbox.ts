// The queue of checks. A check goes in once, under its own UUID, and leaves only when the server has it: the server
// answers the same to the same check, so sending twice is harmless and sending never is not possible.
import type { CheckAnswer } from '../api/types';
import type { Database, Kept, Sent } from './db';

/** What came back from one attempt, so that the queue knows nothing of fetch. */
export type Outcome =
  | { is: 'stored'; answer: CheckAnswer | null }
  | { is: 'unreachable' } // no network, 429, 5xx: later
  | { is: 'signed_out' } // the queue stays until somebody signs in
  | { is: 'refused'; status: number; words: string };

export type Send = (kept: Kept) => Promise<Outcome>;

export interface FlushResult {
  stored: number;
  refused: number;
  stopped: 'unreachable' | 'signed_out' | null;
}

const SENT_STAYS = 2 * 86_400_000;

/** Returns only when the check is on this device, and takes its draft away in the same transaction. */
export async function keep(db: Database, kept: Kept): Promise<void> {
  const tx = db.transaction(['outbox', 'drafts'], 'readwrite', { durability: 'strict' });
  const there = await tx.objectStore('outbox').index('check').get(kept.check);
  if (!there) await tx.objectStore('outbox').add(kept);
  const draft = await tx.objectStore('drafts').get(kept.animal.id);
  if (draft?.id === kept.check) await tx.objectStore('drafts').delete(kept.animal.id);
  await tx.done;
}

export async function waiting(db: Database): Promise<Kept[]> {
  return db.getAll('outbox');
}

export async function sentLately(db: Database): Promise<Sent[]> {
  return (await db.getAll('sent')).sort((a, b) => b.sent_at.localeCompare(a.sent_at));
}

/** A refused check goes again, with what its person changed. */
export async function sendAgain(db: Database, kept: Kept, body: Kept['body'] = kept.body): Promise<void> {
  const tx = db.transaction('outbox', 'readwrite', { durability: 'strict' });
  await tx.store.put({ ...kept, body, home: body.home, refused: null, refused_status: null });
  await tx.done;
}

async function settle(db: Database, kept: Kept, answer: CheckAnswer | null, now: Date): Promise<void> {
  const tx = db.transaction(['outbox', 'sent'], 'readwrite', { durability: 'strict' });
  if (kept.seq !== undefined) await tx.objectStore('outbox').delete(kept.seq);
  await tx.objectStore('sent').put({
    check: kept.check,
    person: kept.person,
    animal: kept.animal,
    body: kept.body,
    kept_at: kept.kept_at,
    sent_at: now.toISOString(),
    level: answer?.level ?? null,
  });
  await tx.done;
}

async function refuse(db: Database, kept: Kept, status: number, words: string): Promise<void> {
  const tx = db.transaction('outbox', 'readwrite', { durability: 'strict' });
  await tx.store.put({ ...kept, refused: words, refused_status: status });
  await tx.done;
}

async function sweep(db: Database, now: Date): Promise<void> {
  const tx = db.transaction('sent', 'readwrite');
  for (const each of await tx.store.getAll()) {
    if (now.getTime() - Date.parse(each.sent_at) > SENT_STAYS) await tx.store.delete(each.check);
  }
  await tx.done;
}

/**
 * Sends what waits for this person, in the order in which it was kept. The first that cannot get through stops it; one
 * that is refused is marked and does not hold up the others.
 */
export async function flush(db: Database, person: string, send: Send, now = () => new Date()): Promise<FlushResult> {
  const result: FlushResult = { stored: 0, refused: 0, stopped: null };
  for (const kept of await waiting(db)) {
    if (kept.person !== person || kept.refused !== null) continue;
    const outcome = await send(kept);
    if (outcome.is === 'stored') {
      await settle(db, kept, outcome.answer, now());
      result.stored += 1;
    } else if (outcome.is === 'refused') {
      await refuse(db, kept, outcome.status, outcome.words);
      result.refused += 1;
    } else {
      result.stopped = outcome.is;
      break;
    }
  }
  await sweep(db, now());
  return result;
}
