// A long outbox: what the server said about a batch is written down while the next is on its way.
import assert from "node:assert/strict";
import { test } from "node:test";
import { gunzipSync } from "node:zlib";
import { newDraft } from "../../static/src/phone/entries/index.js";
import { newDevice, openTab } from "./bench/device.mjs";

const json = { "Content-Type": "application/json" };
const WAYS = ["dies", "fails", "breaks", "full", "silent"];
// So long that three of them fill what one push may hold: few entries make many batches.
const LONG = "a line ".repeat(11_000 / 7);
const COUNT = 60;
const STORAGE_PATIENCE_MS = 120_000;

/** The server's log and who is asking: enough to see what was sent, in which order, how often. */
function newServer() {
  const log = /** @type {any[]} */ ([]);
  const batches = /** @type {any[]} */ ([]);
  let asking = 0;
  let most = 0;
  const answer = (/** @type {any} */ body) => new Response(JSON.stringify(body), { headers: json });
  const standing = { protocol: 1, epoch: "e", server_time: "2026-05-04T08:00:00.000Z" };

  function receipt(/** @type {any} */ entry) {
    const known = log.find(({ id }) => id === entry.id);
    if (!known) log.push(entry);
    return { id: entry.id, status: known ? "duplicate" : "stored", seq: log.indexOf(known ?? entry) + 1, flags: [] };
  }

  const server = {
    log, batches,
    most: () => most,
    /** @type {(batch: any, receipts: any[]) => any} what is answered to a batch, with its receipts */
    says: (_batch, receipts) => ({ receipts, resend: false }),
    async fetch(/** @type {any} */ address, /** @type {any} */ { body }) {
      if (!address.includes("push")) {
        const empty = address.includes("snapshot") ? { seq: 0, id: null, items: [], next: null } : { changes: [], more: false };
        return answer({ ...standing, ...empty });
      }
      const text = typeof body === "string" ? body : gunzipSync(Buffer.from(body)).toString();
      const batch = JSON.parse(text);
      batches.push(batch);
      asking += 1;
      most = Math.max(most, asking);
      await new Promise(setImmediate);
      asking -= 1;
      return answer({ ...standing, ...server.says(batch, batch.entries.map(receipt)) });
    },
  };
  return server;
}

/** @param {ReturnType<typeof newServer>} server */
async function fullPhone(server, locks = true) {
  const device = newDevice();
  const tab = await openTab(device, { fetch: /** @type {any} */ (server.fetch), locks });
  const drafts = Array.from({ length: COUNT }, (_, n) =>
    newDraft({ kind: "note", payload: { note: `${n} ${LONG}` } }));
  const saved = await tab.store.saveTogether(drafts);
  return { device, tab, saved };
}
const ids = (/** @type {any[]} */ entries) => entries.map(({ id }) => id);

test("one request at a time, in order, each entry sent once", async () => {
  const server = newServer();
  const { tab, saved } = await fullPhone(server);
  await tab.sync.start();
  assert.ok(server.batches.length >= 3, `${server.batches.length} batches`);
  assert.equal(server.most(), 1);
  assert.deepEqual(ids(server.batches.flatMap(({ entries }) => entries)), ids(saved));
  assert.deepEqual(await tab.store.outbox(), []);
  assert.equal((await tab.store.feed.place()).acked, saved.at(-1)?.id);
});

test("a batch names no entry as acknowledged whose receipt is not on the disk", async () => {
  const server = newServer();
  const { tab } = await fullPhone(server);
  const kept = /** @type {any[]} */ ([]);
  server.says = (batch, receipts) => {
    kept.push(tab.store.exportOutbox().then(({ states }) => [batch.acked, states[batch.acked]]));
    return { receipts, resend: false };
  };
  await tab.sync.start();
  const named = (await Promise.all(kept)).filter(([acked]) => acked);
  assert.ok(named.length > 0);
  for (const [, state] of named) assert.equal(state, "stored");
});

test("the cards are told of nothing while what they show stays as it was", async () => {
  const server = newServer();
  const { tab } = await fullPhone(server);
  const touched = /** @type {any[]} */ ([]);
  tab.store.subscribe(({ stores, frames }) => stores.includes("outbox") && touched.push(frames));
  await tab.sync.start();
  assert.ok(touched.length >= 3);
  assert.deepEqual(touched.flat(), []);
});

test("a server that asks for everything in the middle gets it, the batch before included", async () => {
  const server = newServer();
  const { tab } = await fullPhone(server);
  server.says = (_batch, receipts) => ({ receipts, resend: server.batches.length === 3 });
  await tab.sync.start();
  assert.deepEqual(await tab.store.outbox(), []);
  const sent = server.batches.map(({ entries }) => ids(entries));
  const after = sent.slice(3).flat();
  for (const id of sent.slice(0, 2).flat()) assert.ok(after.includes(id), "one was not sent again");
  // Of the third batch it has just said that it holds it.
  assert.ok(!sent[2].some((id) => after.includes(id)));
});

test("entries left without a receipt wait, and the batch before is stored", async () => {
  const server = newServer();
  const { tab } = await fullPhone(server);
  server.says = (_batch, receipts) =>
    ({ receipts: server.batches.length === 3 ? receipts.slice(1) : receipts, resend: false });
  await tab.sync.start();
  const [third] = server.batches.slice(2);
  const left = await tab.store.outbox();
  assert.equal(left[0].entry.id, third.entries[0].id);
  assert.equal(left[0].state, "waiting");
  assert.ok(left.slice(1).every(({ state }) => state === "queued"));
});

/** The step at which what was said about the first batch goes to the disk. */
async function firstWriting() {
  const { tab } = await fullPhone(newServer(), false);
  tab.storage.failAt(Infinity, "dies");
  await tab.sync.start();
  return tab.storage.taken().findIndex((what) => /^commit .*entries/.test(what)) + 1;
}

// Without locks each batch is leased, so that leases tell what was under way.
test("promise 2: a tab dies with an answer half written and the next batch claimed: both are sent again", async () => {
  const server = newServer();
  const { device, tab, saved } = await fullPhone(server, false);
  tab.storage.dieAt(await firstWriting());
  assert.equal(await tab.until(tab.sync.start()), "died");
  const first = ids(server.batches[0].entries);
  const before = server.batches.length;
  const next = await openTab(device, { fetch: /** @type {any} */ (server.fetch) });
  const { states } = await next.store.exportOutbox();
  const leased = Object.keys(states).filter((id) => states[id] === "sending");
  assert.deepEqual(leased.slice(0, first.length).sort(), [...first].sort());
  assert.ok(leased.length > first.length, "the next batch was not claimed yet");
  await next.sync.start();
  assert.deepEqual(await next.store.outbox(), []);
  assert.deepEqual(ids(server.log).sort(), ids(saved).sort());
  // What was on its way arrives as well, so some come three times.
  const again = new Set(server.batches.slice(before).flatMap(({ entries }) => ids(entries)));
  assert.deepEqual([...again].sort(), ids(saved).sort());
});

/** @param {string} way @param {number} step @returns {Promise<boolean>} whether it came so far */
async function drained(way, step) {
  const server = newServer();
  const { device, tab, saved } = await fullPhone(server);
  tab.storage.failAt(step, way);
  let over = false;
  const end = tab.until(tab.sync.start()).finally(() => { over = true; });
  while (!over && !tab.storage.isSilent()) await new Promise((go) => { setTimeout(go, 1); });
  const jumped = !over;
  if (jumped) tab.clock.jump(STORAGE_PATIENCE_MS);
  await end;
  const reached = tab.storage.taken().length >= step;
  const receipts = new Set(ids(server.log));
  const hangs = tab.storage.isSilent() && !jumped;
  tab.storage.failAt(Infinity, way);
  // Its last step may have been one of a count, when all was sent.
  const died = await Promise.race([tab.died, new Promise(setImmediate)]) === "died";
  if (hangs) tab.clock.jump(STORAGE_PATIENCE_MS);
  const now = died ? await openTab(device, { fetch: /** @type {any} */ (server.fetch) }) : tab;
  const { states } = await now.store.exportOutbox();
  assert.deepEqual(Object.keys(states).sort(), ids(saved).sort());
  for (const { id } of saved) assert.ok(states[id] !== "stored" || receipts.has(id), `${id} without a receipt`);
  // A lease that its own tab could not give back runs out.
  await now.sync.kick("hand");
  if (died) await now.sync.start();
  await now.clock.pass(61_000);
  await now.sync.kick("hand");
  assert.deepEqual(await now.store.outbox(), []);
  assert.deepEqual(ids(server.log).sort(), ids(saved).sort());
  // Only what a dead tab sent, or what was given up, may still be on its way beside the next.
  if (!died && !jumped) assert.equal(server.most(), 1);
  return reached;
}

for (const way of WAYS) {
  test(`promise 1: an outbox of many batches is sent, and any step ${way}`, async () => {
    // Every way begins at another step, so that together they meet more of them.
    let step = 1 + WAYS.indexOf(way) * 5;
    let tried = 0;
    while (await drained(way, step).catch((error) => {
      error.message = `step ${step}: ${error.message}`;
      throw error;
    })) {
      step += 29;
      tried += 1;
    }
    assert.ok(tried > 10, `only ${tried} steps were tried`);
  });
}
