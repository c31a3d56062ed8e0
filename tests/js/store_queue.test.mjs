// The drainer's side of the outbox: leases, receipts, sending again, pruning, export.
import assert from "node:assert/strict";
import { test } from "node:test";
import { newDraft, newVoid } from "../../static/src/phone/entries/index.js";
import { newDevice, openTab } from "./bench/device.mjs";

const DAY_MS = 86_400_000;
const SERVER_MS = Date.UTC(2026, 4, 4, 7);
const SERVER = { at: SERVER_MS, epoch: "e" };
const ALL = { limit: 100, bytes: 250_000, alone: true };
const note = (text = "a line") => newDraft({ kind: "note", payload: { note: text } });

async function phoneWith(/** @type {number} */ count) {
  const device = newDevice();
  const tab = await openTab(device);
  const entries = [];
  for (let n = 0; n < count; n += 1) entries.push(await tab.store.save(note(`${n}`)));
  return { device, tab, entries, queue: tab.store.queue };
}
const numbers = (/** @type {any[]} */ records) => records.map(({ entry }) => entry.device_seq);
const states = async (/** @type {any} */ tab) =>
  (await tab.store.outbox()).map((/** @type {any} */ one) => one.state);

test("entries go out oldest first, as many as fit, and at least one", async () => {
  const { queue } = await phoneWith(6);
  assert.deepEqual(numbers(await queue.claim({ ...ALL, limit: 2 })), [1, 2]);
  assert.deepEqual(numbers(await queue.claim({ ...ALL, bytes: 1 })), [3]);
  assert.deepEqual(numbers(await queue.claim(ALL)), [4, 5, 6]);
  assert.deepEqual(await queue.claim(ALL), []);
});

test("alone, only the first batch of a go is leased, and none is claimed twice", async () => {
  const { tab, queue, entries } = await phoneWith(5);
  assert.deepEqual(numbers(await queue.claim({ ...ALL, limit: 2 })), [1, 2]);
  assert.deepEqual(numbers(await queue.claim({ ...ALL, limit: 2, next: true })), [3, 4]);
  assert.deepEqual(await states(tab), ["sending", "sending", "queued", "queued", "queued"]);
  await queue.settle([{ id: entries[2].id, status: "stored", seq: 9 }], SERVER);
  await queue.release([entries[3].id], "waiting", null, "perhaps");
  assert.deepEqual(await states(tab), ["sending", "sending", "waiting", "queued"]);
  // What was given back is blamed and goes last.
  assert.deepEqual(numbers(await queue.claim({ ...ALL, next: true })), [5, 4]);
});

test("with other tabs about, every batch is leased", async () => {
  const { tab, queue } = await phoneWith(3);
  await queue.claim({ ...ALL, limit: 1, alone: false });
  await queue.claim({ ...ALL, limit: 1, alone: false, next: true });
  assert.deepEqual(await states(tab), ["sending", "sending", "queued"]);
});

test("a batch without a lease that another tab settled meanwhile stays settled", async () => {
  const { device, tab, queue, entries } = await phoneWith(2);
  await queue.claim({ ...ALL, limit: 1 });
  await queue.claim({ ...ALL, limit: 1, next: true });
  const other = await openTab(device, { clock: tab.clock });
  await other.store.queue.claim({ ...ALL, alone: false });
  await other.store.queue.settle([{ id: entries[1].id, status: "stored", seq: 5 }], SERVER);
  await queue.settle([{ id: entries[1].id, status: "refused", problem: { title: "Late" } }], SERVER);
  await queue.release([entries[1].id], "waiting", null);
  assert.deepEqual(await states(tab), ["sending"]);
});

test("a batch never exceeds its bytes", async () => {
  const { queue } = await phoneWith(30);
  const [one] = await queue.claim({ ...ALL, limit: 1 });
  const batch = await queue.claim({ ...ALL, bytes: one.bytes * 10 });
  const sent = JSON.stringify(batch.map(({ entry }) => entry)).length;
  assert.ok(batch.length > 5 && sent <= one.bytes * 10 + 2);
});

test("only a receipt takes an entry out of the count, and the rest stays", async () => {
  const { tab, queue, entries } = await phoneWith(3);
  await queue.claim(ALL);
  await queue.settle([
    { id: entries[0].id, status: "stored", seq: 11 },
    { id: entries[1].id, status: "refused", problem: { title: "Too long" } },
  ], SERVER);
  assert.deepEqual(await states(tab), ["refused", "sending"]);
  assert.equal((await tab.store.outbox())[0].problem?.title, "Too long");
  const { unsent, refused } = await tab.store.counts();
  assert.deepEqual({ unsent, refused }, { unsent: 1, refused: 1 });
  assert.equal((await tab.store.feed.place()).acked, entries[0].id);
});

test("a lease left by a dead tab is taken over at once by whoever holds the lock", async () => {
  const { device, tab, queue } = await phoneWith(2);
  await queue.claim(ALL);
  tab.storage.die();
  const next = await openTab(device, { clock: tab.clock });
  assert.equal((await next.store.queue.claim(ALL)).length, 2);
});

test("without locks a lease is honoured for its minute, then given up", async () => {
  const { device, tab, queue } = await phoneWith(2);
  await queue.claim(ALL);
  const other = await openTab(device, { clock: tab.clock });
  const shared = { ...ALL, alone: false };
  assert.equal((await other.store.queue.claim(shared)).length, 0);
  await tab.clock.pass(60_000);
  assert.equal((await other.store.queue.claim(shared)).length, 2);
});

test("a lease does not outlive a clock that is put back", async () => {
  const { device, tab, queue } = await phoneWith(1);
  await queue.claim(ALL);
  tab.clock.put(-DAY_MS);
  const other = await openTab(device, { clock: tab.clock });
  assert.equal((await other.store.queue.claim({ ...ALL, alone: false })).length, 1);
});

test("what may be at fault waits, and goes after all others; what is not keeps its place", async () => {
  const { tab, queue, entries } = await phoneWith(2);
  await queue.claim({ ...ALL, limit: 1 });
  await queue.release([entries[0].id], "waiting", null);
  assert.deepEqual(await states(tab), ["waiting", "queued"]);
  assert.equal((await tab.store.outbox())[0].attempts, 1);
  assert.deepEqual(numbers(await queue.claim({ ...ALL, limit: 1 })), [1]);
  await queue.release([entries[0].id], "waiting", { title: "odd" }, "perhaps");
  assert.deepEqual(numbers(await queue.claim(ALL)), [2, 1]);
});

test("giving back does not touch what another tab has taken over", async () => {
  const { device, tab, queue, entries } = await phoneWith(1);
  await queue.claim(ALL);
  const other = await openTab(device, { clock: tab.clock });
  await other.store.queue.claim(ALL);
  await queue.release([entries[0].id], "held: sign in", null);
  assert.deepEqual(await states(tab), ["sending"]);
});

test("a late refusal never takes back that an entry is stored", async () => {
  const { tab, queue, entries } = await phoneWith(1);
  await queue.claim(ALL);
  await queue.settle([{ id: entries[0].id, status: "stored", seq: 5 }], SERVER);
  await queue.settle([{ id: entries[0].id, status: "refused", problem: null }], SERVER);
  assert.deepEqual(await tab.store.outbox(), []);
});

test("the newest acknowledged entry is the one with the server's highest number", async () => {
  const { tab, queue, entries } = await phoneWith(3);
  await queue.claim(ALL);
  const seqs = [7, 9, 8];
  await queue.settle(
    entries.map(({ id }, n) => ({ id, status: /** @type {const} */ ("stored"), seq: seqs[n] })),
    SERVER,
  );
  assert.equal((await tab.store.feed.place()).acked, entries[1].id);
});

test("everything kept can be sent again, in one step that survives a crash", async () => {
  const { device, tab, queue, entries } = await phoneWith(3);
  await queue.claim(ALL);
  const stored = /** @type {const} */ ("stored");
  await queue.settle(entries.map(({ id }, n) => ({ id, status: stored, seq: n + 1 })), SERVER);
  await tab.store.save(note("new"));
  await queue.sendAllAgain();
  tab.storage.die();
  const next = await openTab(device);
  assert.deepEqual(await next.store.feed.place(), { place: null, acked: null, epoch: null, head: null });
  assert.deepEqual(numbers(await next.store.queue.claim(ALL)), [1, 2, 3, 4]);
});

test("receipts of two epochs never stand side by side", async () => {
  const { tab, queue, entries } = await phoneWith(3);
  const [first, second, third] = entries.map(({ id }, n) => (
    { id, status: /** @type {const} */ ("stored"), seq: 9 - n }));
  await queue.claim({ ...ALL, limit: 2 });
  await queue.settle([first, second], SERVER);
  await queue.claim(ALL);
  await queue.settle([third], { ...SERVER, epoch: "after the restore" });
  assert.deepEqual(await states(tab), ["queued", "queued"]);
  const { acked, epoch } = await tab.store.feed.place();
  assert.deepEqual({ acked, epoch }, { acked: third.id, epoch: "after the restore" });
});

test("a receipt from before a restore that is written late sends all again", async () => {
  const { tab, queue, entries } = await phoneWith(2);
  const [early, late] = entries.map(({ id }, n) => (
    { id, status: /** @type {const} */ ("stored"), seq: n + 1 }));
  await queue.claim(ALL);
  await queue.settle([late], { ...SERVER, epoch: "after the restore" });
  await queue.settle([early], SERVER);
  assert.deepEqual(numbers(await queue.claim(ALL)), [2]);
  // Its epoch is what the phone names, so the server will ask for this one too.
  assert.equal((await tab.store.feed.place()).epoch, SERVER.epoch);
});

test("the head known of moves on only to what the server said once it had agreed with it", async () => {
  const { tab, queue, entries } = await phoneWith(5);
  const [here, there, far] = [{ seq: 4, id: "four" }, { seq: 9, id: "nine" }, { seq: 20, id: "twenty" }];
  await queue.claim(ALL);
  const told = async (/** @type {number} */ n, /** @type {any} */ head, /** @type {any} */ agreed) => {
    await queue.settle([{ id: entries[n].id, status: "stored", seq: n + 1 }], { ...SERVER, head, agreed });
    return (await tab.store.feed.place()).head;
  };
  assert.deepEqual(await told(0, here, null), here);
  assert.deepEqual(await told(1, there, here), there);
  // Asked before that answer was written: the server may have lost what it had said.
  assert.deepEqual(await told(2, far, here), there);
  assert.deepEqual(await told(3, far, { seq: 12, id: "a place further on" }), far);
  assert.deepEqual(await told(4, null, far), far);
});

test("stored entries are kept for thirty days, by the server's time and by the phone's", async () => {
  const { tab, queue, entries } = await phoneWith(2);
  await queue.claim({ ...ALL, limit: 1 });
  await queue.settle([{ id: entries[0].id, status: "stored", seq: 1 }], SERVER);
  const kept = async () => (await tab.store.exportOutbox()).entries.length;
  // The server's clock was a month behind and is put right.
  await queue.prune(SERVER_MS + 30 * DAY_MS + 1);
  assert.equal(await kept(), 2);
  await tab.clock.pass(30 * DAY_MS + 1);
  await queue.prune(SERVER_MS + 30 * DAY_MS);
  assert.equal(await kept(), 2);
  await queue.prune(SERVER_MS + 30 * DAY_MS + 1);
  assert.equal(await kept(), 1);
  // However old, what is not stored stays.
  await queue.prune(SERVER_MS + 900 * DAY_MS);
  assert.deepEqual(await states(tab), ["queued"]);
});

test("only a refused entry can be discarded", async () => {
  const { tab, queue, entries } = await phoneWith(2);
  await queue.claim({ ...ALL, limit: 1 });
  await queue.settle([{ id: entries[0].id, status: "refused", problem: null }], SERVER);
  assert.equal(await tab.store.discardRefused(entries[1].id), false);
  assert.equal(await tab.store.discardRefused(entries[0].id), true);
  assert.deepEqual(await states(tab), ["queued"]);
});

test("the export holds every entry as it would be sent, and its state", async () => {
  const { tab, queue, entries } = await phoneWith(3);
  await queue.claim({ ...ALL, limit: 2 });
  await queue.settle([{ id: entries[0].id, status: "stored", seq: 1 }], SERVER);
  const file = JSON.parse(JSON.stringify(await tab.store.exportOutbox()));
  assert.equal(file.tautbook_outbox, 1);
  assert.deepEqual(file.entries, entries);
  assert.deepEqual(Object.values(file.states), ["stored", "sending", "queued"]);
});

test("a void names what it takes back and where it was", async () => {
  const { tab, entries } = await phoneWith(1);
  const undo = await tab.store.save(newVoid(entries[0], "wrong frame", null));
  assert.deepEqual(undo.payload, { voids: entries[0].id, reason: "wrong frame" });
  assert.equal(undo.frame, entries[0].frame);
});

test("what the feed has brought already keeps the server's words", async () => {
  const { tab, queue, entries } = await phoneWith(3);
  const place = { epoch: "e", seq: 0, id: null };
  await tab.store.feed.replace(place, []);
  const told = { ...entries[1], frame: "f", seq: 8, flags: ["ahead"] };
  const item = { type: /** @type {const} */ ("entry"), kind: "note", object: told.id, body: told };
  await tab.store.feed.apply(place, { ...place, seq: 8, id: "c" }, [item]);
  await queue.claim(ALL);
  const stored = /** @type {const} */ ("stored");
  await queue.settle(entries.map(({ id }, n) => ({ id, status: stored, seq: n + 7 })), SERVER);
  assert.deepEqual(await states(tab), []);
  assert.deepEqual(await tab.store.entriesOfFrame("f"), [told]);
});

test("receipts for what another tab has taken over are kept as well", async () => {
  const { device, tab, queue, entries } = await phoneWith(2);
  await queue.claim(ALL);
  const other = await openTab(device, { clock: tab.clock });
  await other.store.queue.claim(ALL);
  await other.store.queue.release([entries[0].id], "waiting", null);
  const outcome = { status: /** @type {const} */ ("stored"), seq: 4 };
  await queue.settle(entries.map(({ id }) => ({ id, ...outcome })), SERVER);
  assert.deepEqual(await states(tab), []);
});
