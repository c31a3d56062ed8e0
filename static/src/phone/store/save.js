import { stamp } from "../entries/time.js";
import { StoreError } from "./errors.js";
import { settleIn } from "./install.js";
import { queued } from "./record.js";

const LONGEST_BYTES = 16 * 1024;
// Somebody stands before the form and waits for the tick, which means that it is on the disk.
const PATIENCE_MS = 10_000;

/**
 * @typedef {import("../entries/types.js").Draft} Draft
 * @typedef {import("../entries/types.js").Entry} Entry
 * @typedef {{offset_ms: number, rtt_ms: number, at: number}} LearntClock at: phone time, ms
 */

/**
 * Freezes drafts into entries and queues them, all of them or none, in one transaction with
 * their numbers. Saving the same draft again, by a double tap or from another tab, gives back the
 * entry that was saved first; one that says something else by now is refused (StoreError `other`),
 * as neither of the two may be lost.
 *
 * @param {import("./index.js").Inner} inner
 * @param {Draft[]} drafts in the order in which they happened
 * @returns {Promise<Entry[]>} once the entries are on the disk
 */
export async function saveTogether({ run, clock, app, changed }, drafts) {
  const entries = await run(["outbox", "meta"], "readwrite", async (tx) => {
    /** @type {Entry[]} */
    const made = [];
    let { install, last } = await settleIn(tx, clock);
    for (const draft of drafts) {
      const { entry, isNew } = await add(tx, draft, clock, { app, install_id: install.id, device_seq: last + 1 });
      made.push(entry);
      if (isNew) last += 1;
    }
    return made;
  }, { patience: PATIENCE_MS, durability: "strict" });
  const about = entries.flatMap(({ frame, screen, payload }) => [frame, screen, payload.frame]);
  changed(["outbox", "meta"], about, true);
  return entries;
}

/**
 * @param {import("./connection.js").Transaction} tx
 * @param {Draft} draft
 * @param {import("../entries/types.js").Clock} clock
 * @param {{app: string, install_id: string, device_seq: number}} who  with the number to be given
 * @returns {Promise<{entry: Entry, isNew: boolean}>}
 */
async function add(tx, draft, clock, who) {
  const outbox = tx.objectStore("outbox");
  const meta = tx.objectStore("meta");
  const [before, learnt, base, kept] = await Promise.all([
    outbox.get(draft.id), meta.get("clock"), meta.get("base_seq"), meta.get(`draft:${draft.id}`),
  ]);
  if (before && !says(before.entry, draft)) throw new StoreError("other");
  if (kept) await meta.delete(`draft:${draft.id}`);
  if (before) return { entry: before.entry, isNew: false };
  const now = clock.now();
  const made = frozen(draft, { ...times(clock, now, learnt), ...who, base_seq: base ?? 0 });
  await outbox.add(queued(made, sizeOf(made), now));
  await meta.put(who.device_seq, "device_seq");
  return { entry: made, isNew: true };
}

/** Whether this is the entry that a draft would become now. @param {Entry} entry @param {Draft} draft */
const says = (entry, draft) =>
  (draft.occurred_at ?? entry.occurred_at) === entry.occurred_at &&
  /** @type {const} */ (["kind", "frame", "screen", "subject", "payload"]).every((name) =>
    JSON.stringify(entry[name] ?? null) === JSON.stringify(draft[name] ?? null));

/**
 * @param {import("../entries/types.js").Clock} clock
 * @param {number} now
 * @param {LearntClock|undefined} learnt
 */
function times(clock, now, learnt) {
  const age = learnt ? Math.round(now - learnt.at) : -1;
  return {
    occurred_at: stamp(now, clock.zone(now)),
    clock_offset_ms: learnt ? Math.round(learnt.offset_ms) : 0,
    // A negative age means that the phone's clock was put back since: then it is not known.
    clock_offset_age_ms: age >= 0 ? age : null,
    mono_ms: Math.round(clock.mono()),
  };
}

/**
 * @param {Draft} draft
 * @param {Pick<Entry, "install_id"|"device_seq"|"occurred_at"|"clock_offset_ms"|
 *   "clock_offset_age_ms"|"mono_ms"|"base_seq"|"app">} facts
 * @returns {Entry} plain JSON, exactly what will be sent
 */
function frozen(draft, facts) {
  const { id, kind, operator, frame, screen, subject, scanned, payload } = draft;
  return JSON.parse(JSON.stringify({
    id, kind, v: 1, operator, frame, screen, subject, scanned, payload, ...facts,
    occurred_at: draft.occurred_at ?? facts.occurred_at,
  }));
}

/** @param {Entry} entry */
function sizeOf(entry) {
  const bytes = new TextEncoder().encode(JSON.stringify(entry)).length;
  if (bytes > LONGEST_BYTES) throw new StoreError("too_long");
  return bytes;
}
