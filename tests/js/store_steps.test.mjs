// Storage goes wrong at step k, for every k: whatever a person does, nothing is lost or doubled.
import assert from "node:assert/strict";
import { test } from "node:test";
import { newDraft } from "../../static/src/phone/entries/index.js";
import { StoreError } from "../../static/src/phone/store/index.js";
import { newDevice, openTab } from "./bench/device.mjs";

const FRAME = "0192aaaa-0000-7000-8000-000000000001";
const WAYS = ["dies", "fails", "breaks", "full", "silent"];
const PATIENCE_MS = 120_000;

const note = (/** @type {string} */ text) =>
  newDraft({ kind: "note", frame: FRAME, operator: null, payload: { note: text } });

/**
 * @typedef {Awaited<ReturnType<typeof openTab>>} Tab
 * @typedef {object} Story
 * @property {(tab: Tab) => Promise<any>} before what is there when it begins
 * @property {(tab: Tab, had: any) => Promise<any>} act may be tried again
 * @property {(tab: Tab, had: any, done: boolean) => Promise<void>} holds true however it went, and
 *   more of it when it is done
 */

/** Texts in the outbox, which is numbered without a gap. @param {Tab} tab */
async function texts({ store }) {
  const lines = await store.outbox();
  assert.deepEqual(lines.map(({ entry }) => entry.device_seq), lines.map((_, n) => n + 1));
  return lines.map(({ entry }) => entry.payload.note ?? entry.kind).join();
}

/** @type {Record<string, Story>} */
const STORIES = {
  "an entry is saved": {
    before: async () => note("turned"),
    act: ({ store }, draft) => store.save(draft),
    holds: async (tab, _draft, done) => {
      const has = await texts(tab);
      assert.ok(done ? has === "turned" : ["", "turned"].includes(has), has);
    },
  },
  "an entry is undone": {
    before: async ({ store }) => {
      const entry = await store.save(note("turned"));
      return newDraft({ kind: "void", frame: FRAME, payload: { voids: entry.id, reason: "" } });
    },
    act: ({ store }, draft) => store.save(draft),
    holds: async (tab, draft, done) => {
      const has = await texts(tab);
      assert.ok(done ? has === "turned,void" : ["turned", "turned,void"].includes(has), has);
      const held = await tab.store.entriesOfFrame(FRAME);
      assert.equal(held.length, has.split(",").length);
      assert.ok(held.some(({ id }) => id === draft.payload.voids));
    },
  },
  "turns, nipping up and their plan are saved together": {
    before: async ({ store }) => {
      const drafts = [note("turned"), note("nipped"), note("plan")];
      await store.drafts.keep({ ...drafts[2], at: "bolt 5" });
      return drafts;
    },
    act: ({ store }, drafts) => store.saveTogether(drafts),
    holds: async (tab, _drafts, done) => {
      const [has, kept] = [await texts(tab), await tab.store.drafts.all()];
      assert.ok(has === "turned,nipped,plan" || (!done && has === ""), has);
      assert.equal(kept.length, has ? 0 : 1);
    },
  },
  "the place in a plan is kept bolt by bolt, and then dropped": {
    before: async ({ store }) => {
      const draft = note("plan");
      await store.drafts.keep({ ...draft, at: "bolt 0" });
      return draft;
    },
    async act({ store }, draft) {
      for (const at of ["bolt 1", "bolt 2"]) await store.drafts.keep({ ...draft, at });
      await store.drafts.drop(draft.id);
    },
    holds: async ({ store }, draft, done) => {
      const kept = await store.drafts.all();
      if (done) assert.deepEqual(kept, []);
      // Dropping it is the last step, which may have been taken without a word.
      for (const one of kept) {
        assert.equal(one.id, draft.id);
        assert.match(one.at, /^bolt [012]$/);
      }
    },
  },
  "the outbox is saved to a file": {
    before: async ({ store }) => store.saveTogether([note("one"), note("two")]),
    async act({ store }, entries) {
      const file = await store.exportOutbox();
      assert.deepEqual(file.entries, entries);
      assert.equal(file.install_id, entries[0].install_id);
    },
    holds: async (tab) => assert.equal(await texts(tab), "one,two"),
  },
};

/** Its end, if need be when patience is over. @param {Tab} tab @param {Promise<any>} work */
async function endOf(tab, work) {
  let over = false;
  const settled = tab.until(work).catch((error) => error).finally(() => {
    over = true;
  });
  for (let n = 0; n < 60 && !over; n += 1) await new Promise(setImmediate);
  if (!over) await tab.clock.pass(PATIENCE_MS);
  return settled;
}

/** @param {Story} story @param {string} way @param {number} step @returns {Promise<boolean>} whether it came so far */
async function tried(story, way, step) {
  const device = newDevice();
  const tab = await openTab(device);
  const had = await story.before(tab);
  tab.storage.failAt(step, way);
  const end = await endOf(tab, story.act(tab, had));
  const reached = tab.storage.taken().length >= step;
  tab.storage.failAt(Infinity, way);
  if (end instanceof Error) {
    assert.ok(end instanceof StoreError, `${end.stack}`);
    assert.ok(["silent", "full", "lost"].includes(end.code), end.code);
    // The page lives on: whoever reads this tries again.
    await story.holds(tab, had, false);
    await story.act(tab, had);
  }
  if (end !== "died") await story.holds(tab, had, true);
  tab.storage.die();
  const again = await openTab(device);
  await story.holds(again, had, end !== "died");
  await story.act(again, had);
  await story.holds(again, had, true);
  return reached;
}

for (const [name, story] of Object.entries(STORIES)) {
  for (const way of WAYS) {
    test(`promise 1: ${name}, and any one step ${way}`, async () => {
      let step = 1;
      while (await tried(story, way, step).catch((error) => {
        error.message = `step ${step}: ${error.message}`;
        throw error;
      })) step += 1;
      assert.ok(step > 4, `only ${step - 1} steps were tried`);
    });
  }
}
