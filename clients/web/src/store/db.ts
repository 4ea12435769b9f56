// What this phone keeps. Only here does IndexedDB appear. What must survive a flat battery is written with strict
// durability, and nobody is told "kept" before the transaction is done.
import { type DBSchema, type IDBPDatabase, openDB } from 'idb';
import type { CheckAnswer, CheckIn } from '../api/types';
import type { Draft } from '../check/draft';

/** A check that waits to be sent. shape counts versions of this record: old ones are kept readable. */
export interface Kept {
  seq?: number;
  shape: 1;
  check: string;
  person: string;
  animal: { id: string; name: string };
  home: string;
  body: CheckIn;
  kept_at: string;
  /** Set when the server refused it: it needs a person's look. */
  refused: string | null;
  refused_status: number | null;
}

export interface Sent {
  check: string;
  person: string;
  animal: { id: string; name: string };
  body: CheckIn;
  kept_at: string;
  sent_at: string;
  level: CheckAnswer['level'] | null;
}

export interface Remembered<T = unknown> {
  key: string;
  at: string;
  value: T;
}

interface Shelf extends DBSchema {
  remembered: { key: string; value: Remembered };
  outbox: { key: number; value: Kept; indexes: { check: string } };
  sent: { key: string; value: Sent };
  drafts: { key: string; value: Draft };
}

export type Database = IDBPDatabase<Shelf>;

let opened: Promise<Database> | null = null;

export function database(name = 'gramwell'): Promise<Database> {
  opened ??= openDB<Shelf>(name, 1, {
    upgrade(db) {
      db.createObjectStore('remembered', { keyPath: 'key' });
      db.createObjectStore('outbox', { keyPath: 'seq', autoIncrement: true }).createIndex('check', 'check', {
        unique: true,
      });
      db.createObjectStore('sent', { keyPath: 'check' });
      db.createObjectStore('drafts', { keyPath: 'animal' });
    },
    blocking(_current, _next, event) {
      (event.target as IDBDatabase).close();
      opened = null;
    },
    terminated() {
      opened = null;
    },
  });
  return opened;
}

export async function remember<T>(key: string, value: T, at = new Date()): Promise<void> {
  await (await database()).put('remembered', { key, value, at: at.toISOString() });
}

export async function recall<T>(key: string): Promise<Remembered<T> | null> {
  return ((await (await database()).get('remembered', key)) as Remembered<T> | undefined) ?? null;
}

export async function forget(...keys: string[]): Promise<void> {
  const tx = (await database()).transaction('remembered', 'readwrite');
  await Promise.all([...keys.map((key) => tx.store.delete(key)), tx.done]);
}
