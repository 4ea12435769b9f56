// What the whole app knows: who is signed in, what waits, whether the server was reached. Screens read these signals and
// call these functions; storage and network stay below.
import { batch, computed, signal } from '@preact/signals';
import { call, get, Refusal, Unreachable, whenSignedOut } from '../api/client';
import type { Catalogue, CheckAnswer, Me, Round } from '../api/types';
import { engine } from '../engine/engine';
import { database, forget, type Kept, recall, remember, type Sent } from '../store/db';
import { flush, type Outcome, sentLately, waiting } from '../store/outbox';
import { t } from '../text/t';
import { roundWithKept } from '../today/round';

export const me = signal<Me | null>(null);
/** Booted: the phone's own storage has been read. */
export const ready = signal(false);
export const signedOut = signal(false);
/** The last attempt to reach the server: null before the first. */
export const reached = signal<boolean | null>(null);
export const lastReached = signal<Date | null>(null);
export const kept = signal<Kept[]>([]);
export const sent = signal<Sent[]>([]);
export const serverRound = signal<{ at: string; value: Round } | null>(null);
export const catalogue = signal<Catalogue | null>(null);
/** The minute hand of every "5 h" on a screen. */
export const now = signal(new Date());
/** The check that was kept last in this tab, for one line on the round. */
export const lastKept = signal<{ check: string; name: string; at: string } | null>(null);
/** A new version of the client waits to be taken. */
export const newVersion = signal(false);
/** Milliseconds by which this device's clock is ahead of the server's. */
export const skew = signal(0);

export const mine = computed(() => kept.value.filter((each) => each.person === me.value?.person.id));
export const round = computed(() =>
  serverRound.value ? roundWithKept(serverRound.value.value, mine.value, sent.value, now.value) : null,
);
export const offline = computed(() => reached.value === false);
export const role = computed(() => me.value?.person.role ?? null);

export function zone(): string | undefined {
  return me.value?.network.zone;
}

export function isStaff(): boolean {
  return role.value === 'intake' || role.value === 'coordinator';
}

export function isCoordinator(): boolean {
  return role.value === 'coordinator';
}

/** Notes whether the server was reached, whatever it said. */
export async function reaching<T>(work: () => Promise<T>): Promise<T> {
  try {
    const value = await work();
    batch(() => {
      reached.value = true;
      lastReached.value = new Date();
    });
    return value;
  } catch (error) {
    if (error instanceof Unreachable) reached.value = false;
    else if (error instanceof Refusal) reached.value = true;
    throw error;
  }
}

export async function readQueue(): Promise<void> {
  const db = await database();
  const [queue, lately] = await Promise.all([waiting(db), sentLately(db)]);
  batch(() => {
    kept.value = queue;
    sent.value = lately;
  });
}

async function send(one: Kept): Promise<Outcome> {
  try {
    const reply = await reaching(() => call<CheckAnswer>(`/checks/${one.check}`, { method: 'PUT', body: one.body }));
    if (reply.date) skew.value = Date.now() - reply.date.getTime();
    return { is: 'stored', answer: reply.body };
  } catch (error) {
    if (!(error instanceof Refusal)) return { is: 'unreachable' };
    if (error.status === 401) return { is: 'signed_out' };
    const field = error.problem.errors?.[0];
    return { is: 'refused', status: error.status, words: field ? field.detail : error.message };
  }
}

let later: ReturnType<typeof setTimeout> | null = null;

/** Sends what waits. One tab at a time; asks again by itself while anything waits. */
export async function sendKept(): Promise<void> {
  const person = me.value?.person.id;
  if (!person) return;
  await navigator.locks.request('gramwell-outbox', { ifAvailable: true }, async (lock) => {
    if (!lock) return;
    const result = await flush(await database(), person, send);
    await readQueue();
    if (result.stored > 0) await refreshRound().catch(() => {});
  });
  await readQueue();
  if (later) clearTimeout(later);
  later = mine.value.some((each) => each.refused === null) ? setTimeout(() => void sendKept(), 45_000) : null;
}

export async function refreshRound(): Promise<void> {
  const value = await reaching(() => get<Round>('/round'));
  await remember(`round:${me.value?.person.id}`, value);
  serverRound.value = { at: new Date().toISOString(), value };
}

export async function refreshCatalogue(): Promise<void> {
  const value = await reaching(() => get<Catalogue>('/catalogue'));
  await remember('catalogue', value);
  catalogue.value = value;
}

export async function refreshMe(): Promise<void> {
  const value = await reaching(() => get<Me>('/me'));
  await remember('me', value);
  batch(() => {
    me.value = value;
    signedOut.value = false;
  });
}

/** Brings everything up to date that the volunteer's part stands on. Failing is normal: the phone's own copy stays. */
export async function refresh(): Promise<void> {
  try {
    await refreshMe();
    await Promise.all([refreshRound(), catalogue.value ? refreshCatalogue().catch(() => {}) : refreshCatalogue()]);
  } catch (error) {
    if (!(error instanceof Unreachable || error instanceof Refusal)) throw error;
  }
  await sendKept();
}

export async function signIn(email: string, passphrase: string): Promise<void> {
  await reaching(() => call('/session', { method: 'POST', body: { email, passphrase } }));
  const before = me.value?.person.id;
  await refreshMe();
  if (before && before !== me.value?.person.id) serverRound.value = null;
  await readStored();
  await refresh();
}

/** Ends the session. What waits to be sent stays on the device; what was only read here goes. */
export async function signOut(): Promise<void> {
  const person = me.value?.person.id;
  try {
    await call('/session', { method: 'DELETE' });
  } catch {
    // Offline or already signed out: the cookie cannot be taken back from here, but this device forgets.
  }
  await forget('me', `round:${person}`, 'arrival');
  batch(() => {
    me.value = null;
    serverRound.value = null;
    signedOut.value = false;
  });
}

async function readStored(): Promise<void> {
  const [person, signs] = await Promise.all([recall<Me>('me'), recall<Catalogue>('catalogue')]);
  const known = person ? await recall<Round>(`round:${person.value.person.id}`) : null;
  batch(() => {
    if (person) me.value = person.value;
    if (signs) catalogue.value = signs.value;
    if (known) serverRound.value = { at: known.at, value: known.value };
  });
}

/** Start: the phone's own storage first, then the network. */
export async function boot(): Promise<void> {
  whenSignedOut(() => {
    signedOut.value = true;
  });
  await readStored();
  await readQueue();
  ready.value = true;
  void refresh();
  // The engine is not on the way to the first screen: it comes when the round stands.
  (globalThis.requestIdleCallback ?? ((then: () => void) => setTimeout(then, 1500)))(() => void engine());
  addEventListener('online', () => void refresh());
  addEventListener('offline', () => {
    reached.value = false;
  });
  document.addEventListener('visibilitychange', () => {
    now.value = new Date();
    if (document.visibilityState === 'visible' && me.value && !signedOut.value) void refresh();
  });
  addEventListener('pageshow', (event) => {
    if (event.persisted) void readQueue();
  });
  setInterval(() => {
    now.value = new Date();
  }, 20_000);
}

/** Words for a failed call, for the line under a title. */
export function wordsFor(error: unknown): string {
  if (error instanceof Unreachable) return t('say.unreachable');
  if (error instanceof Refusal) {
    if (error.status === 404) return t('say.not_yours');
    if (error.status === 403) return t('say.other_role');
    if (error.status === 401) return t('say.sign_in_again');
    return error.problem.errors?.[0]?.detail ?? error.message;
  }
  throw error;
}
