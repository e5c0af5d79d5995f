// The service worker: holds the whole app on this machine, so that it opens with the server
// stopped. It knows nothing of the book. scripts/finish.py fills in the next two lines.
const VERSION = "";
const FILES = {};

const CACHE = `cullbook-${VERSION}`;

// All or nothing: a file that is missing, or is not the one that was built, fails the fetching,
// and a worker whose fetching failed never takes over. The browser's own cache is passed over: what
// it holds may be of another build.
async function fetchAll() {
  const asked = Object.entries(FILES).map(
    ([path, integrity]) => new Request(path, { integrity, cache: "reload" }),
  );
  try {
    await (await caches.open(CACHE)).addAll(asked);
  } catch (why) {
    await caches.delete(CACHE);
    throw why;
  }
}

// Only now may the version before be thrown away. Pages that opened before there was any worker
// come under this one, so that from now on a newer version has to wait for them.
async function takeOver() {
  const names = await caches.keys();
  await Promise.all(names.filter((name) => name !== CACHE).map((name) => caches.delete(name)));
  await self.clients.claim();
}

// A file that the browser has lost is fetched again.
async function answer(path, request) {
  const cache = await caches.open(CACHE);
  return (await cache.match(path)) ?? fetch(request);
}

self.addEventListener("install", (event) => event.waitUntil(fetchAll()));

self.addEventListener("activate", (event) => event.waitUntil(takeOver()));

// A newer version waits until the page says so: only the page knows what is unfinished.
self.addEventListener("message", (event) => {
  if (event.data === "use") event.waitUntil(self.skipWaiting());
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (request.method !== "GET" || origin !== self.location.origin) return;
  const path = request.mode === "navigate" ? "/index.html" : pathname;
  if (Object.hasOwn(FILES, path)) event.respondWith(answer(path, request));
});
