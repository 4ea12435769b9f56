// The one place that calls the server. Every answer is ours (our content type) or it counts as not reached: a captive
// portal answers 200 with a page of its own.
import type { Problem } from './types';

export const BASE = '/api/v1';

/** The server said no, in words. */
export class Refusal extends Error {
  constructor(
    readonly status: number,
    readonly problem: Problem,
  ) {
    super(problem.detail ?? problem.title);
    this.name = 'Refusal';
  }
}

/** Nobody answered, or somebody else did. */
export class Unreachable extends Error {
  /** busy: the server answered, and asks to wait. */
  constructor(readonly busy = false) {
    super('unreachable');
    this.name = 'Unreachable';
  }
}

export interface Reply<T> {
  status: number;
  body: T;
  etag: string | null;
  date: Date | null;
}

export interface Call {
  method?: 'GET' | 'PUT' | 'POST' | 'DELETE';
  body?: unknown;
  ifMatch?: string;
  signal?: AbortSignal;
}

/** Called with the status of each 401, so that the top of the app can ask for a sign-in. */
let onSignedOut: () => void = () => {};
export function whenSignedOut(then: () => void): void {
  onSignedOut = then;
}

const PATIENCE = 20_000;

export async function call<T>(path: string, { method = 'GET', body, ifMatch, signal }: Call = {}): Promise<Reply<T>> {
  const headers: Record<string, string> = { Accept: 'application/json' };
  if (body !== undefined) headers['Content-Type'] = 'application/json';
  if (ifMatch !== undefined) headers['If-Match'] = ifMatch;
  const patience = AbortSignal.timeout(PATIENCE);
  let response: Response;
  try {
    response = await fetch(BASE + path, {
      method,
      headers,
      body: body === undefined ? null : JSON.stringify(body),
      credentials: 'same-origin',
      cache: 'no-store',
      signal: signal ? AbortSignal.any([signal, patience]) : patience,
    });
  } catch {
    throw new Unreachable();
  }
  const type = response.headers.get('Content-Type') ?? '';
  const date = response.headers.get('Date');
  if (response.status === 204)
    return { status: 204, body: undefined as T, etag: null, date: date ? new Date(date) : null };
  const ours = /^application\/(problem\+)?json\b/.test(type);
  if (response.status === 429 || response.status >= 500 || !ours) {
    throw new Unreachable(ours && (response.status === 429 || response.status === 503));
  }
  let content: unknown;
  try {
    content = await response.json();
  } catch {
    throw new Unreachable();
  }
  if (!response.ok) {
    if (response.status === 401 && path !== '/session') onSignedOut();
    throw new Refusal(response.status, content as Problem);
  }
  return {
    status: response.status,
    body: content as T,
    etag: response.headers.get('ETag'),
    date: date ? new Date(date) : null,
  };
}

export async function get<T>(path: string): Promise<T> {
  return (await call<T>(path)).body;
}

/** What the server says of one field, by its JSON pointer; the first words that fit. */
export function saidOf(refusal: Refusal | null, pointer: string): string | null {
  const found = refusal?.problem.errors?.find(
    (each) => each.pointer === pointer || each.pointer.startsWith(`${pointer}/`),
  );
  return found ? [found.detail, found.hint].filter(Boolean).join('. ') : null;
}
