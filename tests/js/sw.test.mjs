// The service worker, run as the browser runs it, over caches in memory.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { runInNewContext } from "node:vm";

const source = readFileSync(new URL("../../static/src/phone/sw.js", import.meta.url), "utf8");
const ORIGIN = "https://shop.test";
const path = (/** @type {any} */ asked) => new URL(asked.url ?? asked, ORIGIN).pathname;

function newCaches() {
  /** @type {Map<string, Map<string, Response>>} */
  const all = new Map();
  const cache = (/** @type {Map<string, Response>} */ kept) => ({
    match: async (asked) => kept.get(path(asked))?.clone(),
    put: async (asked, response) => void kept.set(path(asked), response),
    delete: async (asked) => kept.delete(path(asked)),
    keys: async () => [...kept.keys()].map((one) => ({ url: ORIGIN + one })),
  });
  return {
    all,
    open: async (name) => {
      if (!all.has(name)) all.set(name, new Map());
      return cache(/** @type {any} */ (all.get(name)));
    },
    keys: async () => [...all.keys()],
    delete: async (name) => all.delete(name),
  };
}

/** A worker of one build on a browser whose caches other builds may have filled. */
function install(build, caches, answer) {
  /** @type {Map<string, (event: any) => void>} */
  const on = new Map();
  const asked = /** @type {string[]} */ ([]);
  const said = { skipped: false, claimed: false };
  const self = {
    TAUTBOOK_BUILD: build,
    location: { origin: ORIGIN },
    addEventListener: (name, run) => on.set(name, run),
    clients: { claim: async () => { said.claimed = true; } },
    skipWaiting: () => { said.skipped = true; },
  };
  class Asked extends Request {
    constructor(address, how) {
      super(new URL(address, ORIGIN), how);
    }
  }
  const fetch = async (request) => {
    asked.push(`${request.cache} ${path(request)}`);
    return answer(path(request));
  };
  runInNewContext(source, { self, caches, fetch, Request: Asked, URL, Set, Promise, Error });
  const fire = async (name, event = {}) => {
    const waits = /** @type {Promise<any>[]} */ ([]);
    let response;
    on.get(name)?.({
      waitUntil: (work) => waits.push(work), respondWith: (given) => { response = given; }, ...event,
    });
    await Promise.all(waits);
    return response;
  };
  const open = (address, mode = "no-cors", method = "GET") =>
    fire("fetch", { request: { url: new URL(address, ORIGIN).href, mode, method } });
  return { fire, open, asked, said };
}

const BUILD = {
  id: "b2", precache: ["/", "/static/phone.2.js", "/static/phone.2.css"],
  decoder: ["/static/reader.7.wasm"],
};
const served = (/** @type {string} */ address) => new Response(`file ${address}`);
const text = async (/** @type {any} */ response) => (await response).text();

async function running(caches = newCaches()) {
  const worker = install(BUILD, caches, served);
  await worker.fire("install");
  await worker.fire("activate");
  await new Promise(setImmediate);
  return { worker, caches };
}

test("all files of a build are kept, past the browser's own cache", async () => {
  const caches = newCaches();
  const worker = install(BUILD, caches, served);
  await worker.fire("install");
  assert.deepEqual(worker.asked.sort(), BUILD.precache.map((one) => `no-cache ${one}`).sort());
  assert.deepEqual([...caches.all.get("tautbook b2").keys()].sort(), [...BUILD.precache].sort());
});

for (const [name, answer] of Object.entries({
  "is missing": () => new Response("", { status: 404 }),
  "is redirected": () => Object.defineProperty(new Response("sign in"), "redirected", { value: true }),
  "cannot be had": () => { throw new TypeError("no line"); },
})) {
  test(`when one file ${name}, none is kept and the old build stays`, async () => {
    const { caches } = await running();
    const next = { ...BUILD, id: "b3", precache: ["/", "/static/phone.3.js"] };
    const worker = install(next, caches, (one) => (one.endsWith("3.js") ? answer() : served(one)));
    await assert.rejects(worker.fire("install"));
    assert.deepEqual([...caches.all.keys()], ["tautbook b2", "tautbook decoder"]);
  });
}

test("F13: a new build waits for the page's word, and then only its own caches remain", async () => {
  const { caches } = await running();
  await caches.open("somebody's old cache");
  const worker = install({ ...BUILD, id: "b3" }, caches, served);
  await worker.fire("install");
  assert.equal(worker.said.skipped, false);
  await worker.fire("message", { data: { type: "something else" } });
  assert.equal(worker.said.skipped, false);
  await worker.fire("message", { data: { type: "skip-waiting" } });
  assert.equal(worker.said.skipped, true);
  await worker.fire("activate");
  assert.deepEqual([...caches.all.keys()].sort(), ["tautbook b3", "tautbook decoder"]);
  assert.ok(worker.said.claimed);
});

test("the app's addresses open from the phone, in either case of a label", async () => {
  const { worker } = await running();
  const before = worker.asked.length;
  for (const address of ["/", "/e", "/f/F0417-N", "/F/F0417-N", "/f/F0417-N?from=label"]) {
    assert.equal(await text(worker.open(address, "navigate")), "file /", address);
  }
  const since = worker.asked.slice(before).filter((one) => !one.includes("wasm"));
  assert.deepEqual(since, []);
});

test("the office, the API and foreign addresses never pass through", async () => {
  const { worker } = await running();
  for (const address of ["/office/", "/office/sign-in/", "/f/F0417-N/history", "/api/v1/docs"]) {
    assert.equal(await worker.open(address, "navigate"), undefined, address);
  }
  for (const address of ["/api/v1/sync/changes", "/static/office.css", "https://else.test/"]) {
    assert.equal(await worker.open(address), undefined, address);
  }
  assert.equal(await worker.open("/", "navigate", "POST"), undefined);
});

test("F13: the app's own files come from the phone, even with no network", async () => {
  const caches = newCaches();
  await running(caches);
  const offline = install(BUILD, caches, () => { throw new TypeError("no line"); });
  assert.equal(await text(offline.open("/static/phone.2.js")), "file /static/phone.2.js");
  assert.equal(await text(offline.open("/f/F0417-N", "navigate")), "file /");
});

test("the decoder is kept on the side, outlives builds, and may be missing", async () => {
  const { worker, caches } = await running();
  await worker.open("/", "navigate");
  assert.equal(await text(worker.open("/static/reader.7.wasm")), "file /static/reader.7.wasm");
  const next = install({ ...BUILD, id: "b3" }, caches, served);
  await next.fire("install");
  await next.fire("activate");
  await next.open("/", "navigate");
  assert.ok(!next.asked.includes("no-cache /static/reader.7.wasm"), "fetched again");
  const newer = install({ ...BUILD, id: "b3", decoder: ["/static/reader.8.wasm"] }, caches, () => {
    throw new TypeError("no line");
  });
  await newer.open("/", "navigate");
  assert.deepEqual([...caches.all.get("tautbook decoder").keys()], []);
});
