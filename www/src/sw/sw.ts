// The service worker: keeps the page's own files, so that it opens without a connection.

declare const self: ServiceWorkerGlobalScope;

// The build writes these two in.
declare const __FILES__: string[];
declare const __VERSION__: string;

// Other pages may live on this origin: only caches with this prefix are ours.
const PREFIX = `plumbline ${new URL(self.registration.scope).pathname} `;
const CACHE = PREFIX + __VERSION__;

// A worker does not take over the policy in the page's head: it gets its own from its response.
const POLICY =
  "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; font-src 'self'; " +
  "img-src 'self'; connect-src 'self'; worker-src 'self'; manifest-src 'self'; " +
  "base-uri 'none'; form-action 'none'";

self.addEventListener('install', (event) => event.waitUntil(keep()));
self.addEventListener('activate', (event) => event.waitUntil(tidy()));
self.addEventListener('message', (event) => {
  if (event.data === 'take-over') void self.skipWaiting();
  if (event.data === 'shared?') event.waitUntil(handOn(event.source));
});
self.addEventListener('fetch', (event) => {
  const { method, url } = event.request;
  if (!url.startsWith(self.registration.scope)) return;
  if (method === 'GET') event.respondWith(answer(event.request));
  if (method === 'POST' && url === SHARED) event.respondWith(takeShared(event.request));
});

/** Where the system sends files that are shared with the installed page (see the manifest). */
const SHARED = new URL('shared', self.registration.scope).href;
/** Files that were shared, until the page that opens for them asks. */
let shared: Promise<File[]> = Promise.resolve([]);

function takeShared(request: Request): Response {
  shared = request.formData().then((form) => {
    const values = form.getAll('recordings');
    return values.filter((value) => value instanceof File);
  });
  return Response.redirect(self.registration.scope, 303);
}

async function handOn(page: ExtendableMessageEvent['source']): Promise<void> {
  const files = await shared;
  shared = Promise.resolve([]);
  if (files.length > 0) page?.postMessage({ shared: files });
}

async function keep(): Promise<void> {
  const cache = await caches.open(CACHE);
  await cache.addAll(__FILES__.map((file) => new Request(file, { cache: 'reload' })));
}

async function tidy(): Promise<void> {
  for (const name of await caches.keys()) {
    if (name.startsWith(PREFIX) && name !== CACHE) await caches.delete(name);
  }
  await self.clients.claim();
}

async function answer(request: Request): Promise<Response> {
  const cache = await caches.open(CACHE);
  const wanted = request.mode === 'navigate' ? './' : request;
  const kept = await cache.match(wanted, { ignoreSearch: true });
  return kept === undefined ? fetch(request) : underPolicy(kept);
}

function underPolicy(response: Response): Response {
  const headers = new Headers(response.headers);
  headers.set('content-security-policy', POLICY);
  return new Response(response.body, { status: response.status, headers });
}
