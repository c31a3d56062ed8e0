// Keeps the app's own files, so that it opens without a network. Entries and answers of the
// server never pass through here. The server puts one line above this file:
//   self.TAUTBOOK_BUILD = {"id": …, "precache": [addresses], "decoder": [addresses]};
const worker = /** @type {any} */ (self);
/** @type {{id: string, precache: string[], decoder: string[]}} */
const { id, precache, decoder } = worker.TAUTBOOK_BUILD;

const APP = `tautbook ${id}`;
// Large, and the same in most builds, so it has a cache that outlives them.
const DECODER = "tautbook decoder";
const EXPECTED = new Set([APP, DECODER]);
const SHELL = "/";
const SHELL_ADDRESSES = /^\/(|e|f\/[^/]*)$/i;

/**
 * As the server has it now, and never by way of another address. What the page has just loaded is
 * asked after, not sent a second time.
 *
 * @param {string} address
 */
async function fresh(address) {
  const response = await fetch(new Request(address, { cache: "no-cache" }));
  if (!response.ok || response.redirected) throw new Error(`${address} did not come`);
  return response;
}

/** All files of this build or none: half an app would open and then fail. */
async function keepApp() {
  const responses = await Promise.all(precache.map(fresh));
  const cache = await caches.open(APP);
  await Promise.all(precache.map((address, n) => cache.put(address, responses[n])));
}

async function dropOldCaches() {
  const old = (await caches.keys()).filter((name) => !EXPECTED.has(name));
  await Promise.all(old.map((name) => caches.delete(name)));
  await worker.clients.claim();
  // Not awaited: the first visit must not hang on it, yet is to be enough for scanning offline.
  keepDecoder().catch(() => {});
}

/** The app opens without the decoder too, so what cannot be had now is had another time. */
async function keepDecoder() {
  const cache = await caches.open(DECODER);
  const kept = (await cache.keys()).map((request) => new URL(request.url).pathname);
  const missing = decoder.filter((address) => !kept.includes(address));
  await Promise.all(missing.map((address) =>
    fresh(address).then((response) => cache.put(address, response), () => {})));
  const old = kept.filter((address) => !decoder.includes(address));
  await Promise.all(old.map((address) => cache.delete(address)));
}

/** @param {string} name @param {string} address @param {Request} request */
async function kept(name, address, request) {
  const cache = await caches.open(name);
  return (await cache.match(address)) ?? fetch(request);
}

worker.addEventListener("install", (/** @type {any} */ event) => event.waitUntil(keepApp()));

worker.addEventListener("activate", (/** @type {any} */ event) => event.waitUntil(dropOldCaches()));

worker.addEventListener("fetch", (/** @type {any} */ event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (request.method !== "GET" || origin !== worker.location.origin) return;
  if (request.mode === "navigate" && SHELL_ADDRESSES.test(pathname)) {
    event.waitUntil(keepDecoder());
    event.respondWith(kept(APP, SHELL, request));
  } else if (decoder.includes(pathname)) {
    event.respondWith(kept(DECODER, pathname, request));
  } else if (request.mode !== "navigate" && precache.includes(pathname)) {
    event.respondWith(kept(APP, pathname, request));
  }
});

// A new version waits until the page says that nobody is in the middle of something.
worker.addEventListener("message", (/** @type {any} */ { data }) => {
  if (data?.type === "skip-waiting") worker.skipWaiting();
});
