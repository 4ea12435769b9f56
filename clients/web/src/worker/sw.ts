/// <reference lib="webworker" />
// Serves the shell from a cache that is named by its content. Data is not its business: /api/ passes by.
declare const self: ServiceWorkerGlobalScope;
declare const SHELL: string;
declare const FILES: string[];

const CACHE = `shell-${SHELL}`;

self.addEventListener('install', (event) => {
  event.waitUntil(
    caches.open(CACHE).then((cache) => cache.addAll(FILES.map((file) => new Request(file, { cache: 'reload' })))),
  );
});

self.addEventListener('activate', (event) => {
  const old = async () => {
    for (const name of await caches.keys()) if (name.startsWith('shell-') && name !== CACHE) await caches.delete(name);
    await self.clients.claim();
  };
  event.waitUntil(old());
});

self.addEventListener('message', (event) => {
  if (event.data === 'take-over') void self.skipWaiting();
});

self.addEventListener('fetch', (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== 'GET' || url.origin !== self.location.origin || url.pathname.startsWith('/api/')) return;
  if (event.request.mode === 'navigate' && !url.pathname.split('/').pop()?.includes('.')) {
    event.respondWith(caches.open(CACHE).then(async (cache) => (await cache.match('/')) ?? fetch(event.request)));
    return;
  }
  if (FILES.includes(url.pathname)) {
    event.respondWith(
      caches.open(CACHE).then(async (cache) => (await cache.match(url.pathname)) ?? fetch(event.request)),
    );
  }
});

export {};
