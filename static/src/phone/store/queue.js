import { unwrap } from "idb";
import { t } from "../../shared/language.js";
import { found, leased, refused, stored, toSend } from "./record.js";

const LEASE_MS = 60_000;
export const KEEP_MS = 30 * 24 * 3_600_000;

/**
 * @typedef {import("./record.js").OutboxRecord} OutboxRecord
 * @typedef {import("./record.js").Problem} Problem
 * @typedef {{id: string, status: "stored"|"refused", seq?: number, problem?: Problem|null}} Outcome
 */

/** @param {OutboxRecord} record @param {number} now */
const leaseOver = ({ lease }, now) =>
  // One that ends too far ahead was given before the clock was put back.
  !lease || lease.until <= now || lease.until > now + LEASE_MS;

/** The drainer's side of the outbox. @param {import("./index.js").Inner} inner */
export function queueOf({ run, clock, changed, tab }) {
  /** What this go has under way. @type {Map<string, OutboxRecord>} */
  const claimed = new Map();

  /**
   * What is held of entries that receipts name. An entry never changes, so those that are still
   * to be sent have not to be read again.
   *
   * @param {import("idb").IDBPObjectStore<any, any, any, "readwrite">} outbox
   * @param {Outcome[]} outcomes
   */
  async function recordsOf(outbox, outcomes) {
    const open = await Promise.all([outbox.index("state").getAllKeys("sending"), outbox.index("queue").getAllKeys()]);
    const isOpen = new Set(open.flat());
    return Promise.all(outcomes.map(({ id }) =>
      (isOpen.has(id) && claimed.get(id)) || outbox.get(id)));
  }

  /** Whether it was claimed here and nobody took it since. @param {OutboxRecord|undefined} one */
  const isOurs = (one) => (one?.state === "sending" ? one.lease?.by === tab : Boolean(one?.queue) && claimed.has(one?.id ?? ""));

  return {
    /**
     * Takes the next entries to send, oldest first, and leases them for a minute. A long outbox
     * that no other tab can be sending needs no leases after the first batch: to write each entry
     * once more is what a drain would wait for longest.
     *
     * @param {{limit: number, bytes: number, alone: boolean, next?: boolean}} how alone: no other
     *   tab can be sending, so whatever another tab leased was left behind when it died; next: not
     *   the first batch of this go, which has looked for leases left behind
     * @returns {Promise<OutboxRecord[]>}
     */
    async claim({ limit, bytes, alone, next: follows = false }) {
      if (!follows) claimed.clear();
      const now = clock.now();
      const bare = follows && alone;
      const taken = await run(["outbox"], bare ? "readonly" : "readwrite", async (tx) => {
        const outbox = tx.objectStore("outbox");
        if (!follows) await takeBack(outbox, (one) => leaseOver(one, now) || (alone && one.lease?.by !== tab));
        const queue = await outbox.index("queue").getAll(null, limit + claimed.size);
        const next = fitting(queue.filter(({ id }) => !claimed.has(id)).slice(0, limit), bytes);
        if (bare) return next;
        const lease = { until: now + LEASE_MS, by: tab };
        await Promise.all(next.map((one) => outbox.put(leased(one, lease))));
        return next;
      });
      for (const one of taken) claimed.set(one.id, one);
      if (taken.length) changed(["leases"], []);
      return taken;
    },

    /**
     * Gives entries back to the queue, unsent.
     *
     * @param {string[]} ids
     * @param {"waiting"|"held: sign in"|"held: update needed"} state
     * @param {Problem|null} problem
     * @param {"no"|"perhaps"|"surely"} [blamed] perhaps: one of them may be why it failed; surely:
     *   our server turned down this very entry
     */
    async release(ids, state, problem, blamed = "no") {
      await run(["outbox"], "readwrite", async (tx) => {
        const outbox = tx.objectStore("outbox");
        const records = await Promise.all(ids.map((id) => outbox.get(id)));
        const mine = records.filter(isOurs);
        await Promise.all(mine.map((one) => outbox.put(toSend(one, {
          state, problem, attempts: one.attempts + 1,
          rank: one.rank + (blamed === "no" ? 0 : 1),
          rejections: one.rejections + (blamed === "surely" ? 1 : 0),
        }))));
      });
      for (const id of ids) claimed.delete(id);
      changed(["outbox"], []);
    },

    /**
     * Writes down what the server said about each entry. Only this moves an entry out.
     *
     * @param {Outcome[]} outcomes
     * @param {number} at server time, ms
     */
    async settle(outcomes, at) {
      const frames = await run(["outbox", "entries", "cursor"], "readwrite", async (tx) => {
        const outbox = tx.objectStore("outbox");
        const records = await recordsOf(outbox, outcomes);
        const pairs = outcomes.map((outcome, n) => ({ outcome, record: records[n] }))
          // A late second answer never takes back that an entry is stored.
          .filter(({ record }) => record && record.state !== "stored");
        await Promise.all(pairs.map(({ outcome, record }) => settleOne(tx, record, outcome, at)));
        await nameNewest(tx.objectStore("cursor"), pairs.map(({ outcome }) => outcome));
        // What is stored shows as it did before; what is refused does not count.
        const shown = pairs.filter(({ outcome, record }) => [outcome.status, record.state].includes("refused"));
        return shown.flatMap(({ record }) => record.about);
      });
      for (const { id } of outcomes) claimed.delete(id);
      changed(["outbox", "entries"], frames);
    },

    /**
     * The server lost some of what it had acknowledged: queue all that is kept once more, and
     * forget the place in its feed, so that a snapshot follows.
     */
    async sendAllAgain() {
      await run(["outbox", "cursor"], "readwrite", async (tx) => {
        const outbox = tx.objectStore("outbox");
        const kept = await outbox.index("state").getAll("stored");
        const anew = /** @type {const} */ (
          { state: "queued", problem: null, attempts: 0, rank: 0, rejections: 0 });
        await Promise.all(kept.map((one) => outbox.put(toSend(one, anew))));
        await tx.objectStore("cursor").delete("place");
        await tx.objectStore("cursor").delete("acked");
      });
      changed(["outbox"], null);
    },

    /** @param {number} at server time, ms: a phone's own clock may be a year ahead */
    async prune(at) {
      await run(["outbox"], "readwrite", async (tx) => {
        const outbox = tx.objectStore("outbox");
        const kept = await outbox.index("state").getAll("stored");
        const old = kept.filter((one) => one.stored_at < at - KEEP_MS);
        await Promise.all(old.map((one) => outbox.delete(one.id)));
      });
    },
  };
}

/**
 * Gives back what was left under way.
 *
 * @param {import("idb").IDBPObjectStore<any, any, any, "readwrite">} outbox
 * @param {(one: OutboxRecord) => boolean} isLeft
 */
async function takeBack(outbox, isLeft) {
  /** @type {OutboxRecord[]} */
  const out = await outbox.index("state").getAll("sending");
  const back = /** @type {const} */ ({ state: "waiting", problem: null });
  await Promise.all(out.filter(isLeft).map((one) => outbox.put(toSend(one, back))));
}

/**
 * @param {OutboxRecord[]} records
 * @param {number} bytes
 * @returns {OutboxRecord[]} as many from the front as fit, and at least one
 */
function fitting(records, bytes) {
  let sum = 0;
  const over = records.findIndex((one, n) => {
    sum += one.bytes + 1;
    return n > 0 && sum > bytes;
  });
  return over < 0 ? records : records.slice(0, over);
}

/**
 * @param {import("./connection.js").Transaction} tx
 * @param {OutboxRecord} record
 * @param {Outcome} outcome
 * @param {number} at
 */
async function settleOne(tx, record, outcome, at) {
  if (outcome.status === "refused") {
    const problem = outcome.problem ?? { title: t`The server refused this entry.` };
    await tx.objectStore("outbox").put(refused(record, problem));
    return;
  }
  const { id, entry } = record;
  await Promise.all([
    tx.objectStore("outbox").put(stored(record, outcome.seq, at)),
    // The feed brings it too, with the server's words; until then it must not vanish.
    addIfMissing(tx.objectStore("entries"), { id, entry, ...found(entry) }),
  ]);
}

/**
 * @param {import("idb").IDBPObjectStore<any, any, any, "readwrite">} store
 * @param {Record<string, any>} record
 */
function addIfMissing(store, record) {
  const adding = store.add(record);
  unwrap(adding).addEventListener("error", (/** @type {Event} */ event) => {
    // It is there: no reason to undo all else.
    if (!isThere(/** @type {IDBRequest} */ (event.target).error)) return;
    event.preventDefault();
    event.stopPropagation();
  });
  return adding.catch((/** @type {Error} */ error) => {
    if (!isThere(error)) throw error;
  });
}

/** @param {Error|null} error */
const isThere = (error) => error?.name === "ConstraintError";

/**
 * Remembers the newest acknowledged entry: a server that does not know it has lost some.
 *
 * @param {import("idb").IDBPObjectStore<any, any, "cursor", "readwrite">} cursor
 * @param {Outcome[]} outcomes
 */
async function nameNewest(cursor, outcomes) {
  const before = await cursor.get("acked");
  const newest = outcomes.reduce(
    (best, { id, status, seq }) =>
      status === "stored" && seq !== undefined && seq > (best?.seq ?? 0) ? { id, seq } : best,
    before,
  );
  if (newest && newest !== before) await cursor.put(newest, "acked");
}
