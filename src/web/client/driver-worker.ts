/**
 * Between the run sheet and a network that may not be there. The page itself comes from the phone, at once; the sheet's
 * data and everything that is handed in is the page's own business. Facts live in IndexedDB, which no version of this
 * file ever touches. Imports nothing: it is served under an address of its own.
 */
type Kept = { readonly version: string; readonly shell: string; readonly files: readonly string[] };
type Scope = {
  readonly KEPT: Kept;
  readonly caches: CacheStorage;
  readonly clients: { claim(): Promise<void> };
  skipWaiting(): Promise<void>;
  addEventListener(type: 'install' | 'activate', listener: (event: Waiting) => void): void;
  addEventListener(type: 'fetch', listener: (event: Fetching) => void): void;
};
type Waiting = { waitUntil(work: Promise<unknown>): void };
type Fetching = Waiting & { readonly request: Request; respondWith(answer: Promise<Response>): void };

const scope = globalThis as unknown as Scope;
const { version, shell, files } = scope.KEPT;
const PREFIX = 'feedround-driver-';
const NAME = PREFIX + version;

scope.addEventListener('install', (event) => {
  event.waitUntil(
    (async () => {
      const cache = await scope.caches.open(NAME);
      // All or none: half a version would leave a page without its script.
      await cache.addAll(files.map((file) => new Request(file, { cache: 'no-cache' })));
      await scope.skipWaiting();
    })(),
  );
});

scope.addEventListener('activate', (event) => {
  event.waitUntil(
    (async () => {
      for (const name of await scope.caches.keys())
        if (name.startsWith(PREFIX) && name !== NAME) await scope.caches.delete(name);
      await scope.clients.claim();
    })(),
  );
});

scope.addEventListener('fetch', (event) => {
  const { request } = event;
  const { origin, pathname, searchParams } = new URL(request.url);
  if (request.method !== 'GET' || origin !== new URL(shell, request.url).origin) return;
  if (request.mode === 'navigate') {
    const isSheet = /^\/driver(\/stops\/[^/]+|\/extra|\/rounds\/[^/]+\/[a-z-]+)?$/.test(pathname);
    // The page without scripts, and the choice of a language, are the server's.
    if (isSheet && !searchParams.has('plain') && !searchParams.has('lang'))
      event.respondWith(keptOr(shell, request));
  } else if (pathname.startsWith('/assets/') || pathname === '/driver.webmanifest')
    event.respondWith(keptOr(request, request));
});

async function keptOr(kept: Request | string, request: Request): Promise<Response> {
  const cache = await scope.caches.open(NAME);
  return (await cache.match(kept)) ?? fetch(request);
}
