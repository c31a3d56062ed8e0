// What browsers do to storage: full disks, private windows, closed and blocked databases, eviction.
import assert from "node:assert/strict";
import { test } from "node:test";
import { newDraft } from "../../static/src/phone/entries/index.js";
import { openStore } from "../../static/src/phone/store/index.js";
import { NAME, STORE_NAMES, VERSION } from "../../static/src/phone/store/schema.js";
import { movedClock } from "./bench/clock.mjs";
import { newDevice, openTab } from "./bench/device.mjs";

const note = () => newDraft({ kind: "note", payload: { note: "a line" } });
const code = (/** @type {string} */ expected) => (/** @type {any} */ error) => {
  assert.equal(error.code, expected);
  assert.ok(error.message.length > 30);
  return true;
};
const opened = (/** @type {IDBOpenDBRequest} */ request) => new Promise((resolve, reject) => {
  request.onsuccess = () => resolve(request.result);
  request.onerror = () => reject(request.error);
});

test("F15: a full phone says so, and nothing looks saved", async () => {
  const tab = await openTab(newDevice());
  await tab.store.save(note());
  tab.storage.fill(true);
  await assert.rejects(tab.store.save(note()), code("full"));
  tab.storage.fill(false);
  assert.equal((await tab.store.outbox()).length, 1);
  assert.equal((await tab.store.save(note())).device_seq, 2);
});

test("F18: a private window is refused in words", async () => {
  const denied = () => new DOMException("denied", "SecurityError");
  const refusing = {
    open() {
      const request = new IDBOpenDBRequest();
      queueMicrotask(() => {
        Object.assign(request, { error: denied(), readyState: "done" });
        request.onerror?.(new Event("error"));
      });
      return request;
    },
  };
  const throwing = { open() { throw denied(); } };
  for (const indexedDB of [refusing, throwing, undefined]) {
    const ground = /** @type {any} */ ({ indexedDB, clock: movedClock() });
    await assert.rejects(openStore(ground), code("no_storage"));
  }
});

test("a database that never answers does not keep the reader waiting for ever", async () => {
  const clock = movedClock();
  const indexedDB = { open: () => new IDBOpenDBRequest() };
  const opening = openStore(/** @type {any} */ ({ indexedDB, clock }));
  await Promise.all([clock.pass(10_000), assert.rejects(opening, code("silent"))]);
});

test("F17: a database closed in the background is opened again", async () => {
  const tab = await openTab(newDevice());
  await tab.store.save(note());
  tab.storage.closeAll();
  assert.equal((await tab.store.save(note())).device_seq, 2);
  assert.equal((await tab.store.outbox()).length, 2);
});

test("closed in the middle of a write, the entry is saved once all the same", async () => {
  const tab = await openTab(newDevice());
  const saving = tab.store.save(note());
  await Promise.resolve();
  for (const db of tab.storage.databases()) {
    db._rawDatabase.transactions.forEach((tx) => tx._state !== "finished" && tx._abort("AbortError"));
    db.close();
  }
  assert.equal((await saving).device_seq, 1);
  assert.equal((await tab.store.outbox()).length, 1);
});

test("F14: a newer app's database is used as it stands", async () => {
  const device = newDevice();
  const tab = await openTab(device);
  await tab.store.save(note());
  await tab.close();
  const request = device.storage.open(NAME, VERSION + 5);
  request.onupgradeneeded = () => request.result.createObjectStore("from a later version");
  (await opened(request)).close();
  const old = await openTab(device);
  assert.equal((await old.store.save(note())).device_seq, 2);
});

test("F12: an upgrade adds what is missing and keeps a full outbox", async () => {
  const device = newDevice();
  const request = device.storage.open(NAME, 1);
  // The oldest form: an outbox and the numbering, no index, nothing else.
  request.onupgradeneeded = () => {
    const outbox = request.result.createObjectStore("outbox", { keyPath: "id" });
    const meta = request.result.createObjectStore("meta");
    for (let n = 1; n <= 500; n += 1) {
      const entry = { id: `e${n}`, device_seq: n, kind: "note", payload: {}, frame: null };
      outbox.add({ id: entry.id, entry, state: "queued", attempts: 0, rank: 0, rejections: 0,
        saved_at: n, bytes: 50, queue: [0, n], unsent: n, about: [] });
    }
    meta.put("old-install", "install_id");
    meta.put({ id: "old-install", started_at: "", reason: "new" }, "install");
    meta.put(500, "device_seq");
  };
  (await opened(request)).close();
  const { upgrade } = await import("../../static/src/phone/store/schema.js");
  const { wrap } = await import("../../static/node_modules/idb/build/index.js");
  const next = device.storage.open(NAME, 2);
  next.onupgradeneeded = () => upgrade(wrap(next.result), wrap(next.transaction));
  const db = await opened(next);
  assert.deepEqual([...db.objectStoreNames], [...STORE_NAMES].sort());
  db.close();
  const tab = await openTab(device);
  assert.equal((await tab.store.outbox()).length, 500);
  assert.equal((await tab.store.counts()).unsent, 500);
  assert.equal((await tab.store.save(note())).device_seq, 501);
});

test("F12: an upgrade that fails half way leaves the old database, and it is used", async () => {
  const device = newDevice();
  const tab = await openTab(device);
  await tab.store.save(note());
  await tab.close();
  const broken = {
    open(name, version) {
      const request = device.storage.open(name, version && version + 1);
      request.addEventListener("upgradeneeded", () => request.transaction.abort());
      return request;
    },
  };
  const again = await openStore(/** @type {any} */ ({ indexedDB: broken, clock: movedClock() }));
  assert.equal((await again.outbox()).length, 1);
});

test("a tab steps aside for another that brings a newer database, and goes on after it", async () => {
  const device = newDevice();
  const tab = await openTab(device);
  await tab.store.save(note());
  const request = device.storage.open(NAME, VERSION + 1);
  request.onupgradeneeded = () => {};
  (await opened(request)).close();
  assert.equal((await tab.store.save(note())).device_seq, 2);
});

test("F12: while an old tab blocks the upgrade, the page is told", async () => {
  const device = newDevice();
  const holder = device.storage.open(NAME, 1);
  holder.onupgradeneeded = () => holder.result.createObjectStore("meta");
  const held = await opened(holder);
  const raised = { open: (name) => device.storage.open(name, 2) };
  let told = false;
  const opening = openStore(/** @type {any} */ ({
    indexedDB: raised, clock: movedClock(), blocked: () => { told = true; held.close(); },
  }));
  await opening;
  assert.ok(told);
});

test("F16: evicted storage starts a new numbering under a new name, and says so", async () => {
  const device = newDevice();
  const before = await openTab(device);
  await before.store.save(note());
  await before.close();
  await opened(device.storage.deleteDatabase(NAME));
  const after = await openTab(device);
  assert.notEqual(after.store.install.id, before.store.install.id);
  assert.equal(after.store.install.reason, "new");
  assert.equal((await after.store.save(note())).device_seq, 1);
});

test("a lost numbering is never counted on from a guess", async () => {
  const device = newDevice();
  const tab = await openTab(device);
  await tab.store.save(note());
  const { id } = tab.store.install;
  await tab.store.meta.set("device_seq", undefined);
  await tab.close();
  const again = await openTab(device);
  assert.notEqual(again.store.install.id, id);
  assert.equal(again.store.install.reason, "numbering lost");
  assert.equal((await again.store.outbox()).length, 1);
});

test("a numbering behind the outbox catches up", async () => {
  const device = newDevice();
  const tab = await openTab(device);
  await tab.store.save(note());
  await tab.store.save(note());
  await tab.store.meta.set("device_seq", 1);
  await tab.close();
  const again = await openTab(device);
  assert.equal((await again.store.save(note())).device_seq, 3);
});
