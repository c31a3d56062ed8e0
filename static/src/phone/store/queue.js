import { unwrap } from "idb";
import { t } from "../../shared/language.js";
import { found, leased, refused, stored, toSend } from "./record.js";

const LEASE_MS = 60_000;
export const KEEP_MS = 30 * 24 * 3_600_000;

/**
 * @typedef {import("./record.js").OutboxRecord} OutboxRecord
 * @typedef {import("./record.js").Problem} Problem
 * @typedef {{id: string, status: "stored"|"refused", seq?: number, problem?: Problem|null}} Outcome
 * @typedef {{seq: number, id: string|null}} Head  of the server's feed
 * @typedef {{at: number, epoch: string, head?: Head|null, agreed?: Head|null}} Server its time, ms,
 *   its epoch, its head, and the head that it agreed to have had before
 * @typedef {{server: number, phone: number}} Times the same moment by both clocks, ms
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
     * Writes down what the server said about each entry. Only this moves an entry out. Receipts of
     * two epochs never stand side by side: the newest could not answer for those before a restore.
     *
     * @param {Outcome[]} outcomes
     * @param {Server} server
     */
    async settle(outcomes, server) {
      const frames = await run(["outbox", "entries", "cursor"], "readwrite", async (tx) => {
        const outbox = tx.objectStore("outbox");
        await partFromOtherEpoch(tx, server.epoch);
        const records = await recordsOf(outbox, outcomes);
        const pairs = outcomes.map((outcome, n) => ({ outcome, record: records[n] }))
          // A late second answer never takes back that an entry is stored.
          .filter(({ record }) => record && record.state !== "stored");
        await Promise.all(pairs.map(({ outcome, record }) => settleOne(tx, record, outcome, { server: server.at, phone: clock.now() })));
        await nameNewest(tx.objectStore("cursor"), pairs.map(({ outcome }) => outcome), server);
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
      await run(["outbox", "cursor"], "readwrite", queueAllAgain);
      changed(["outbox"], null);
    },

    /** @param {number} at server time, ms */
    async prune(at) {
      const times = { server: at - KEEP_MS, phone: clock.now() - KEEP_MS };
      await run(["outbox"], "readwrite", (tx) => forget(tx.objectStore("outbox"), times));
    },
  };
}

/** @param {import("./connection.js").Transaction} tx @param {string} epoch */
async function partFromOtherEpoch(tx, epoch) {
  const before = await tx.objectStore("cursor").get("acked");
  if (before?.epoch && before.epoch !== epoch) await queueAllAgain(tx);
}

/** @param {import("./connection.js").Transaction} tx */
async function queueAllAgain(tx) {
  const outbox = tx.objectStore("outbox");
  const kept = await outbox.index("state").getAll("stored");
  const anew = /** @type {const} */ (
    { state: "queued", problem: null, attempts: 0, rank: 0, rejections: 0 });
  await Promise.all(kept.map((one) => outbox.put(toSend(one, anew))));
  await tx.objectStore("cursor").delete("place");
  await tx.objectStore("cursor").delete("acked");
}

/**
 * Forgets what was stored before a time by both clocks, as one of them may have been put right
 * by a month.
 *
 * @param {import("idb").IDBPObjectStore<any, any, any, "readwrite">} outbox
 * @param {Times} before
 */
async function forget(outbox, before) {
  /** @type {OutboxRecord[]} */
  const kept = await outbox.index("state").getAll("stored");
  const old = kept.filter(({ stored_at = 0, stored_here_at, saved_at }) =>
    stored_at < before.server && (stored_here_at ?? saved_at) < before.phone);
  await Promise.all(old.map((one) => outbox.delete(one.id)));
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
 * @param {Times} at
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
 * Remembers the newest acknowledged entry and the head of the feed beside it: a server that does
 * not know them has lost some. The entry could come back alone, by a packet that was late; the head
 * carries an id made at random, which stands for all before it. It moves on only to what this
 * server said after it had agreed with the one before.
 *
 * @param {import("idb").IDBPObjectStore<any, any, "cursor", "readwrite">} cursor
 * @param {Outcome[]} outcomes
 * @param {Server} server
 */
async function nameNewest(cursor, outcomes, { epoch, head = null, agreed = null }) {
  const before = await cursor.get("acked");
  const newest = outcomes.reduce(
    (best, { id, status, seq }) =>
      status === "stored" && seq !== undefined && seq > (best?.seq ?? 0) ? { id, seq, epoch } : best,
    before,
  );
  if (!newest) return;
  const had = before?.head;
  const follows = !had || (agreed && (agreed.seq > had.seq || agreed.id === had.id));
  await cursor.put({ ...newest, head: follows ? (head ?? had ?? null) : had }, "acked");
}
