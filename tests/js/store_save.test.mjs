// Saved means saved: numbering, freezing, doubles, kept drafts, and death at every step.
import assert from "node:assert/strict";
import { test } from "node:test";
import { newDraft } from "../../static/src/phone/entries/index.js";
import { NAME } from "../../static/src/phone/store/schema.js";
import { newDevice, openTab } from "./bench/device.mjs";

const FRAME = "0192aaaa-0000-7000-8000-000000000001";
const note = (text = "mesh looks tired") =>
  newDraft({ kind: "note", frame: FRAME, operator: null, payload: { note: text } });

test("a saved entry carries everything that the wire form needs, and nothing else", async () => {
  const tab = await openTab(newDevice({ start: Date.UTC(2026, 10, 25, 9, 42, 7, 123) }));
  const draft = note();
  const entry = await tab.store.save(draft);
  assert.deepEqual(Object.keys(entry).sort(), [
    "app", "base_seq", "clock_offset_age_ms", "clock_offset_ms", "device_seq", "frame", "id",
    "install_id", "kind", "mono_ms", "occurred_at", "operator", "payload", "scanned", "screen",
    "subject", "v",
  ]);
  assert.equal(entry.id, draft.id);
  assert.equal(entry.occurred_at, "2026-11-25T10:42:07.123+01:00");
  assert.equal(entry.device_seq, 1);
  assert.equal(entry.install_id, tab.store.install.id);
});

test("an entry saved after the browser threw everything away under the open app is sent", async () => {
  const device = newDevice();
  const tab = await openTab(device);
  const before = await tab.store.save(note("before"));
  await thrownAway(device);
  const after = await tab.store.save(note("after"));
  assert.equal(after.device_seq, 1);
  assert.notEqual(after.install_id, before.install_id);
  assert.deepEqual(await tab.store.meta.get("install"), {
    id: after.install_id, started_at: new Date(tab.clock.now()).toISOString(), reason: "new",
  });
  const all = { limit: 100, bytes: 250_000, alone: true };
  assert.deepEqual((await tab.store.queue.claim(all)).map(({ id }) => id), [after.id]);
});

/** @param {ReturnType<typeof newDevice>} device */
const thrownAway = (device) => new Promise((resolve, reject) => {
  const asked = device.storage.deleteDatabase(NAME);
  asked.onsuccess = () => resolve(undefined);
  asked.onerror = () => reject(asked.error);
});

test("a form that was saved and says something else by now is neither dropped nor put in its place", async () => {
  const tab = await openTab(newDevice());
  const draft = note("20");
  await tab.store.save(draft);
  for (const other of [
    { ...draft, payload: { note: "25" } }, { ...draft, screen: draft.id },
    { ...draft, occurred_at: "2026-05-04T07:00:00+01:00" },
  ]) await assert.rejects(tab.store.save(other), { code: "other" });
  assert.deepEqual(await tab.store.save({ ...draft, operator: "someone else" }), (await tab.store.save(draft)));
  assert.equal((await tab.store.outbox()).length, 1);
});

test("what was kept once more after it was saved is no draft", async () => {
  const tab = await openTab(newDevice());
  const draft = { ...note(), form: { read: [20] }, kept_at: 1 };
  await tab.store.drafts.keep(draft);
  assert.equal((await tab.store.drafts.all()).length, 1);
  // Save is tapped, and one more key before the page has changed.
  await Promise.all([tab.store.save(draft), tab.store.drafts.keep({ ...draft, form: { read: [20, 2] } })]);
  assert.deepEqual(await tab.store.drafts.all(), []);
});

test("numbers run on without a gap, across tabs and restarts", async () => {
  const device = newDevice();
  const [one, two] = [await openTab(device), await openTab(device)];
  const saved = await Promise.all(
    Array.from({ length: 10 }, (_, n) => (n % 2 ? one : two).store.save(note())),
  );
  await one.close();
  await two.close();
  const later = await openTab(device);
  saved.push(await later.store.save(note()));
  const numbers = saved.map((entry) => entry.device_seq).sort((a, b) => a - b);
  assert.deepEqual(numbers, Array.from({ length: 11 }, (_, n) => n + 1));
  assert.equal(new Set(saved.map((entry) => entry.install_id)).size, 1);
});

test("promise 2: a double tap, or a second tab, saves one entry", async () => {
  const device = newDevice();
  const [one, two] = [await openTab(device), await openTab(device)];
  const draft = note();
  const entries = await Promise.all([
    one.store.save(draft), one.store.save(draft), two.store.save(draft),
  ]);
  assert.deepEqual(entries[1], entries[0]);
  assert.deepEqual(entries[2], entries[0]);
  assert.equal((await one.store.outbox()).length, 1);
  assert.equal((await one.store.save(note())).device_seq, 2);
});

test("promise 1: killed at any step of saving, the phone holds the entry whole or not at all", async () => {
  for (let at = 1; ; at += 1) {
    const device = newDevice();
    const tab = await openTab(device);
    await tab.store.save(note("before"));
    tab.storage.dieAt(at);
    const draft = note("the one");
    const end = await tab.until(tab.store.save(draft));
    const again = await openTab(device);
    const texts = (await again.store.outbox()).map(({ entry }) => entry.payload.note);
    if (end !== "died") {
      assert.deepEqual(texts, ["before", "the one"]);
      assert.ok(at > 8, `only ${at} steps were tried`);
      return;
    }
    assert.ok(["before", "before,the one"].includes(texts.join()), `step ${at}: ${texts}`);
    // The form was kept, so its reader presses Save once more.
    const entry = await again.store.save(draft);
    assert.equal(entry.device_seq, 2, `step ${at}`);
    assert.equal((await again.store.outbox()).length, 2, `step ${at}`);
  }
});

test("entries saved together are all there or none, wherever the phone dies", async () => {
  for (let at = 1; ; at += 1) {
    const device = newDevice();
    const tab = await openTab(device);
    const drafts = [note("turned"), note("nipped"), note("plan")];
    await tab.store.drafts.keep({ ...drafts[2], at: "bolt 5" });
    tab.storage.dieAt(at);
    const end = await tab.until(tab.store.saveTogether(drafts));
    const again = await openTab(device);
    const texts = (await again.store.outbox()).map(({ entry }) => entry.payload.note).join();
    assert.ok(["", "turned,nipped,plan"].includes(texts), `step ${at}: ${texts}`);
    assert.equal((await again.store.drafts.all()).length, texts ? 0 : 1, `step ${at}`);
    const saved = await again.store.saveTogether(drafts);
    assert.deepEqual(saved.map((entry) => entry.device_seq), [1, 2, 3], `step ${at}`);
    assert.equal((await again.store.outbox()).length, 3, `step ${at}`);
    if (end !== "died") {
      assert.ok(at > 8, `only ${at} steps were tried`);
      return;
    }
  }
});

test("what was saved is not changed by what the form does next", async () => {
  const tab = await openTab(newDevice());
  const draft = note("first");
  const entry = await tab.store.save(draft);
  draft.payload.note = "changed";
  entry.payload.note = "changed too";
  const [{ entry: kept }] = await tab.store.outbox();
  assert.equal(kept.payload.note, "first");
});

test("an entry too long to send is refused at once, with words, and nothing is counted", async () => {
  const tab = await openTab(newDevice());
  await assert.rejects(tab.store.save(note("x".repeat(17_000))), (error) => {
    assert.equal(error.code, "too_long");
    assert.match(error.message, /Shorten the note/);
    return true;
  });
  assert.equal((await tab.store.save(note())).device_seq, 1);
});

test("a page that chokes on the news does not make a saved entry look lost", async (context) => {
  const tab = await openTab(newDevice());
  const told = context.mock.method(console, "error", () => {});
  tab.store.subscribe(() => {
    throw new Error("the page is broken");
  });
  assert.equal((await tab.store.save(note())).device_seq, 1);
  assert.match(String(told.mock.calls[0].arguments[0]), /the page is broken/);
});

test("a half-filled form outlives the app, until it is saved", async () => {
  const device = newDevice();
  const first = await openTab(device);
  const draft = note("half");
  await first.store.drafts.keep({ ...draft, at: "spot 3" });
  first.storage.die();
  const tab = await openTab(device);
  const [kept] = await tab.store.drafts.all();
  assert.equal(kept.at, "spot 3");
  await tab.store.save(kept);
  assert.deepEqual(await tab.store.drafts.all(), []);
  assert.deepEqual((await tab.store.outbox()).map(({ entry }) => entry.id), [draft.id]);
});

test("a draft can be dropped", async () => {
  const tab = await openTab(newDevice());
  const draft = note();
  await tab.store.drafts.keep(draft);
  await tab.store.drafts.drop(draft.id);
  assert.deepEqual(await tab.store.drafts.all(), []);
});
