// Something before the server that turns down one entry: all others must get through. And clocks
// that are put right while what was stored is kept for a restore.
import assert from "node:assert/strict";
import { test } from "node:test";
import { gunzipSync } from "node:zlib";
import { newDraft } from "../../static/src/phone/entries/index.js";
import { movedClock } from "./bench/clock.mjs";
import { newDevice, openTab } from "./bench/device.mjs";

const json = { "Content-Type": "application/json" };
const note = (/** @type {string} */ text) => newDraft({ kind: "note", payload: { note: text } });

/**
 * @param {(batch: any, bytes: number) => number} filter  status of its page, or 0 to let it through
 * @param {any} clock
 */
function shop(filter, clock) {
  /** @type {Set<string>} */
  const log = new Set();
  const own = { late_ms: 0, meanwhile: () => {} };
  const standing = () => ({ protocol: 1, epoch: "e", server_time: new Date(clock.now() - own.late_ms).toISOString() });
  /** @param {any} more */
  const answer = (more) => new Response(JSON.stringify({ ...standing(), ...more }), { headers: json });
  /** @param {string} address @param {any} [how] */
  async function fetch(address, { body } = {}) {
    if (address.includes("snapshot")) return answer({ seq: 0, id: null, items: [], next: null });
    if (address.includes("changes")) {
      own.meanwhile();
      return answer({ changes: [], more: false });
    }
    const text = typeof body === "string" ? body : `${gunzipSync(Buffer.from(body))}`;
    const batch = JSON.parse(text);
    const status = filter(batch, body.length ?? body.byteLength);
    if (status) return new Response("<html>Not here</html>", { status });
    for (const { id } of batch.entries) log.add(id);
    const receipts = batch.entries.map((/** @type {any} */ { id }) => ({ id, status: "stored", seq: log.size, flags: [] }));
    return answer({ receipts, resend: false });
  }
  return { log, fetch, own };
}

const noise = Array.from({ length: 1500 }, (_, n) => ((n * 7919 + 12345) ** 3).toString(36)).join(" ").slice(0, 12_000);
/** @type {Record<string, [string, (batch: any, bytes: number) => number]>} */
const FILTERS = {
  "a proxy that takes little at once": [noise, (_, bytes) => (bytes > 6000 ? 413 : 0)],
  ...Object.fromEntries([400, 403, 406].map((status) => [`a filter that answers ${status} to one text`, [
    "select * from the rack",
    (batch) => (batch.entries.some((/** @type {any} */ one) => one.payload.note.startsWith("select")) ? status : 0),
  ]])),
};

for (const [name, [text, filter]] of Object.entries(FILTERS)) {
  test(`promise 4: ${name} holds up that entry alone`, async () => {
    const clock = movedClock();
    const { log, fetch } = shop(filter, clock);
    const tab = await openTab(newDevice(), { clock, fetch: /** @type {any} */ (fetch) });
    await tab.store.save(note(text));
    const others = [];
    for (let n = 0; n < 5; n += 1) others.push(await tab.store.save(note(`small ${n}`)));
    await tab.sync.start();
    for (let n = 0; n < 12; n += 1) {
      await clock.pass(600_000);
      await tab.sync.kick("hand");
    }
    assert.deepEqual([...log].sort(), others.map(({ id }) => id).sort());
    assert.equal((await tab.store.counts()).unsent, 1);
  });
}

const DAYS_40 = 40 * 86_400_000;
/** @type {Record<string, (own: any, clock: any) => void>} */
const CLOCKS = {
  "the server's, which was 40 days behind": (own) => { own.late_ms = 0; },
  "the phone's, put 40 days ahead while an answer is on its way": (own, clock) => {
    own.meanwhile = () => {
      own.meanwhile = () => {};
      clock.put(DAYS_40);
      own.late_ms += DAYS_40;
    };
  },
};

for (const [name, put] of Object.entries(CLOCKS)) {
  test(`what was stored is kept though a clock is put: ${name}`, async () => {
    const clock = movedClock();
    const { fetch, own } = shop(() => 0, clock);
    if (name.startsWith("the server")) own.late_ms = DAYS_40;
    const tab = await openTab(newDevice(), { clock, fetch: /** @type {any} */ (fetch) });
    await tab.store.save(note("an hour before the disk died"));
    await tab.sync.start();
    put(own, clock);
    for (let n = 0; n < 3; n += 1) {
      await clock.pass(3_600_000);
      await tab.sync.kick("hand");
    }
    assert.equal((await tab.store.counts()).unsent, 0);
    assert.equal((await tab.store.exportOutbox()).entries.length, 1);
  });
}
