// What views read: things, the feed in place, entries that belong together, frame cards.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { newCorrection, newDraft, newVoid } from "../../static/src/phone/entries/index.js";
import { fold } from "../../static/src/phone/fold/index.js";
import { newDevice, openTab } from "./bench/device.mjs";

const vectors = JSON.parse(readFileSync(new URL("../vectors/fold.json", import.meta.url), "utf8"));
const START = { epoch: "e", seq: 0, id: null };
const at = (/** @type {number} */ seq) => ({ epoch: "e", seq, id: `change ${seq}` });
const asItem = (/** @type {any} */ body) => ({ type: "entry", kind: body.kind, object: body.id, body });
const frame = (/** @type {string} */ id, /** @type {any} */ more) =>
  ({ type: "thing", kind: "frame", object: id, body: { id, version: 1, retired: false, ...more } });

async function phoneAt(/** @type {any[]} */ items) {
  const tab = await openTab(newDevice());
  await tab.store.feed.replace(START, items);
  return tab;
}

test("a frame is found by its code or the shop's own number, however typed", async () => {
  const { store } = await phoneAt([
    frame("f1", { code: "F0417-N", second_name: "12/4" }),
    frame("f2", { code: "F0418-X", second_name: "twin" }),
    frame("f3", { code: "F0419-1", second_name: "twin" }),
  ]);
  for (const text of ["F0417-N", "f0417n", " f0417-n ", "12/4", "124"]) {
    assert.equal((await store.frameByCode(text))?.id, "f1", text);
  }
  assert.equal(await store.frameByCode("twin"), null);
  assert.equal(await store.frameByCode(""), null);
  assert.equal((await store.things("frame")).length, 3);
  assert.equal((await store.thing("frame", "f2")).code, "F0418-X");
  assert.equal(await store.thing("frame", "f9"), null);
});

test("changes and the place they lead to are written together, from the right place only", async () => {
  const { store } = await phoneAt([frame("f1", { code: "F0417-N" })]);
  const change = [frame("f1", { code: "F0417-N", note: "bent" })];
  assert.equal(await store.feed.apply(START, at(1), change), true);
  assert.equal((await store.thing("frame", "f1")).note, "bent");
  // Another tab was quicker: what it wrote stays.
  assert.equal(await store.feed.apply(START, at(1), [frame("f1", { note: "old" })]), false);
  assert.equal((await store.thing("frame", "f1")).note, "bent");
  assert.deepEqual((await store.feed.place()).place, at(1));
});

test("a state that is no more is dropped", async () => {
  const body = { screen: "s1", frame: "f1" };
  const { store } = await phoneAt([{ type: "state", kind: "screen", object: "s1", body }]);
  assert.deepEqual(await store.states("screen"), [body]);
  await store.feed.apply(START, at(1), [{ type: "state", kind: "screen", object: "s1", body: null }]);
  assert.deepEqual(await store.states("screen"), []);
});

test("killed at any step, a pull is in place whole or not at all", async () => {
  const items = [frame("f1", { code: "A" }), asItem({ id: "n1", kind: "note", payload: {}, frame: "f1" })];
  for (const name of ["apply", "replace"]) {
    for (let step = 1; ; step += 1) {
      const device = newDevice();
      const tab = await openTab(device);
      await tab.store.feed.replace(START, [frame("f0", { code: "B" })]);
      tab.storage.dieAt(step);
      const end = await tab.until(name === "apply"
        ? tab.store.feed.apply(START, at(2), items) : tab.store.feed.replace(at(2), items));
      const { store } = await openTab(device);
      const moved = (await store.feed.place()).place?.seq === 2;
      const frames = (await store.things("frame")).map(({ id }) => id).sort();
      const before = name === "apply" ? ["f0", "f1"] : ["f1"];
      assert.deepEqual(frames, moved ? before : ["f0"], `${name} ${step}`);
      assert.equal((await store.entriesOfFrame("f1")).length, moved ? 1 : 0);
      if (end !== "died") break;
      assert.ok(step < 40);
    }
  }
});

test("a snapshot leaves the outbox alone", async () => {
  const { store } = await phoneAt([]);
  const entry = await store.save(newDraft({ kind: "note", frame: "f1", payload: { note: "mine" } }));
  await store.feed.replace(at(9), []);
  assert.deepEqual((await store.entriesOfFrame("f1")).map(({ id }) => id), [entry.id]);
  assert.equal((await store.save(newDraft({ kind: "note", payload: { note: "" } }))).base_seq, 9);
});

test("every frame is folded from what belongs to it as from the whole log", async () => {
  for (const { name, entries, state } of vectors.fold) {
    const tab = await phoneAt(entries.map(asItem));
    for (const [id, expected] of Object.entries(state.frames)) {
      const { frame: got, screens } = await tab.frames.frameView(id);
      assert.deepEqual(got, expected, name);
      const own = Object.values(state.screens).filter((screen) => screen.frame === id);
      assert.deepEqual(screens, Object.fromEntries(own.map((one) => [one.screen, one])), name);
    }
    await tab.close();
  }
});

test("a card shows what was just saved, undone and corrected, before any network", async () => {
  const [{ entries }] = vectors.fold.filter((/** @type {any} */ { entries }) =>
    entries.some((/** @type {any} */ one) => one.kind === "mesh_fitted"));
  const fitted = entries.find((/** @type {any} */ one) => one.kind === "mesh_fitted");
  const tab = await phoneAt([asItem(fitted)]);
  const { store, frames } = tab;
  const here = { frame: fitted.frame, screen: fitted.id };
  const view = () => frames.frameView(fitted.frame);
  const coated = await store.save(newDraft({ kind: "coated", ...here, payload: { note: "1+1" } }));
  assert.equal((await view()).screen?.stencil, "coated");
  await store.save(newCorrection(coated, { payload: { note: "2+1" } }, null));
  const [top] = (await view()).entries;
  assert.equal(top.payload.note, "2+1");
  assert.equal(top.corrected, true);
  assert.equal(top.original?.payload.note, "1+1");
  await store.save(newVoid(coated, "other screen", null));
  const after = await view();
  assert.equal(after.screen?.stencil, "bare");
  assert.deepEqual(after.entries.map(({ kind, voided }) => [kind, voided]),
    [["coated", true], ["mesh_fitted", false]]);
  assert.deepEqual(after.condition, { word: "unknown", reason: "There is no tension check yet." });
});

test("a refused entry has no say", async () => {
  const { store } = await phoneAt([]);
  const entry = await store.save(newDraft({ kind: "note", frame: "f1", payload: { note: "" } }));
  await store.queue.claim({ limit: 9, bytes: 9999, alone: true });
  await store.queue.settle([{ id: entry.id, status: "refused", problem: null }], { at: 0, epoch: "e" });
  assert.deepEqual(await store.entriesOfFrame("f1"), []);
});

test("a commit in one tab is heard in the other", async () => {
  const device = newDevice();
  const [one, two] = [await openTab(device), await openTab(device)];
  const heard = new Promise((resolve) => two.store.subscribe(resolve));
  await one.store.save(newDraft({ kind: "note", frame: "f1", payload: { note: "" } }));
  assert.deepEqual(await heard, { stores: ["outbox", "meta"], frames: ["f1"], saved: true, here: false });
});

test("cards of a large shop read only what is theirs", async () => {
  const [longest] = vectors.fold.map(({ entries }) => entries).sort((a, b) => b.length - a.length);
  // The same life a hundred times over, under other ids.
  const copies = Array.from({ length: 100 }, (_, n) => JSON.parse(
    JSON.stringify(longest).replace(/([0-9a-f-]{32})[0-9a-f]{4}"/g, `$1${1000 + n}"`)));
  const tab = await phoneAt(copies.flat().map(asItem));
  const id = copies[42].find((/** @type {any} */ one) => one.frame).frame;
  tab.storage.dieAt(Infinity);
  const got = await tab.store.entriesOfFrame(id);
  assert.ok(got.length <= longest.length);
  assert.ok(!tab.storage.taken().includes("getAll entries"), "the whole store was read");
  assert.deepEqual(fold(got).frames[id], fold(copies[42]).frames[id]);
});
