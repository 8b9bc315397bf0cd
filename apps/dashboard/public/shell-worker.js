/*
 * Keeps the page itself, so that whoever is listening can load it anew without a network. It keeps the built page and
 * its parts and nothing else: no answer of the server ever goes into it.
 */
const KEPT = 'sojourn-shell';

self.addEventListener('install', (event) => {
  self.skipWaiting();
  event.waitUntil(renew());
});
self.addEventListener('activate', (event) => event.waitUntil(self.clients.claim()));
self.addEventListener('fetch', (event) => {
  const { method, url, mode } = event.request;
  const { origin, pathname } = new URL(url);
  if (method !== 'GET' || origin !== self.location.origin) return;
  if (pathname.startsWith('/api/') || pathname.startsWith('/health/')) return;
  if (mode === 'navigate') event.respondWith(page(event));
  else event.respondWith(part(event.request, pathname.startsWith('/assets/')));
});

/** The server's page while it can be had, the kept one otherwise. */
async function page(event) {
  try {
    const answer = await fetch(event.request);
    event.waitUntil(renew().catch(() => undefined));
    return answer;
  } catch (error) {
    const kept = await caches.match('/', { cacheName: KEPT });
    if (kept) return kept;
    throw error;
  }
}

/** Names of built parts carry their hash: what is kept is what is asked for. */
async function part(request, lasting) {
  const kept = lasting ? await caches.match(request, { cacheName: KEPT }) : undefined;
  if (kept) return kept;
  try {
    return await fetch(request);
  } catch (error) {
    const old = await caches.match(request, { cacheName: KEPT });
    if (old) return old;
    throw error;
  }
}

/** Brings what is kept up to the server's build. The page comes last: it is never kept without its parts. */
async function renew() {
  const answer = await fetch('/shell.json', { cache: 'no-cache' });
  if (!answer.ok) return;
  const { parts } = await answer.json();
  const kept = await caches.open(KEPT);
  const known = new Set((await kept.keys()).map((request) => new URL(request.url).pathname));
  const fresh = parts.filter((path) => !known.has(path));
  if (fresh.length === 0 && known.has('/')) return;
  await kept.addAll(fresh);
  await kept.add(new Request('/', { cache: 'no-cache' }));
  const wanted = new Set([...parts, '/']);
  for (const path of known) if (!wanted.has(path)) await kept.delete(path);
}
