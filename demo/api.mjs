// A small client of the API for the demo and its tests: bearer tokens, problems told in full, busy answers repeated.

export class Problem extends Error {
  constructor(method, path, status, body) {
    const faults = (body?.errors ?? []).map((e) => `\n  ${e.pointer} ${e.detail}${e.hint ? ` (${e.hint})` : ''}`).join('');
    super(`${method} ${path}: ${status} ${body?.title ?? ''}${body?.detail ? `: ${body.detail}` : ''}${faults}`);
    this.status = status;
    this.body = body;
  }
}

export class Api {
  constructor(server, token = null) {
    this.server = server;
    this.token = token;
  }

  // Answers {status, body, etag}; anything but 2xx throws a Problem. Busy (429, 503) is repeated for up to a minute.
  async call(method, path, body, { etag } = {}) {
    const deadline = Date.now() + 60000;
    for (;;) {
      const reply = await fetch(`${this.server}/api/v1${path}`, {
        method,
        headers: {
          accept: 'application/json',
          ...(body === undefined ? {} : { 'content-type': 'application/json' }),
          ...(this.token ? { authorization: `Bearer ${this.token}` } : {}),
          ...(etag ? { 'if-match': etag } : {}),
        },
        ...(body === undefined ? {} : { body: JSON.stringify(body) }),
      });
      const text = await reply.text();
      if ((reply.status === 429 || reply.status === 503) && Date.now() < deadline) {
        const wait = Number(reply.headers.get('retry-after') ?? 1);
        await new Promise((done) => setTimeout(done, Math.min(10, Math.max(0.2, wait)) * 1000));
        continue;
      }
      let value = null;
      try {
        value = text === '' ? null : JSON.parse(text);
      } catch {
        throw new Problem(method, path, reply.status, { title: `not JSON: ${text.slice(0, 80)}` });
      }
      if (reply.status < 200 || reply.status > 299) throw new Problem(method, path, reply.status, value);
      return { status: reply.status, body: value, etag: reply.headers.get('etag') };
    }
  }

  async get(path) {
    return (await this.call('GET', path)).body;
  }

  // Every entry of a list that comes in pages.
  async all(path, member) {
    const list = [];
    let cursor = null;
    do {
      const page = await this.get(`${path}${path.includes('?') ? '&' : '?'}limit=200${cursor ? `&cursor=${encodeURIComponent(cursor)}` : ''}`);
      list.push(...page[member]);
      cursor = page.next ?? null;
    } while (cursor);
    return list;
  }
}

export async function signIn(server, email, passphrase) {
  const { body } = await new Api(server).call('POST', '/session', { email, passphrase, bearer: true });
  return new Api(server, body.token);
}
