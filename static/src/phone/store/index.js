import { v4 } from "uuid";
import { connect } from "./connection.js";
import { feedOf } from "./feed.js";
import { settleIn } from "./install.js";
import { noticesOf } from "./notices.js";
import { outboxOf } from "./outbox.js";
import { queueOf } from "./queue.js";
import { readerOf } from "./read.js";
import { saveTogether } from "./save.js";

export { StoreError } from "./errors.js";

/**
 * @typedef {object} Ground what the store stands on; the page passes it in
 * @property {IDBFactory} indexedDB
 * @property {import("../entries/types.js").Clock} clock
 * @property {import("./notices.js").Channel} [channel] a BroadcastChannel, to hear of other tabs
 * @property {Pick<StorageManager, "persist"|"persisted">} [storage]
 * @property {string} [app] the app's version, written into each entry
 * @property {() => void} [blocked] an old tab holds the database: ask to close it
 *
 * @typedef {object} Standing what the server told this phone
 * @property {import("./feed.js").Place|null} place in the feed
 * @property {string|null} acked the newest entry that a receipt named
 * @property {string|null} epoch of all receipts that are held
 * @property {import("./queue.js").Head|null} head of the feed when the newest receipts came
 *
 * @typedef {object} Inner what the parts of the store share
 * @property {ReturnType<typeof connect>["run"]} run
 * @property {import("../entries/types.js").Clock} clock
 * @property {string} app
 * @property {string} tab names this tab in leases
 * @property {ReturnType<typeof noticesOf>["changed"]} changed
 * @property {typeof readPlace} place
 */

/**
 * @param {{objectStore: (name: "cursor") => any}} tx
 * @returns {Promise<Standing>}
 */
async function readPlace(tx) {
  const cursor = tx.objectStore("cursor");
  const [place, acked] = await Promise.all([cursor.get("place"), cursor.get("acked")]);
  const { id = null, epoch = null, head = null } = acked ?? {};
  return { place: place ?? null, acked: id, epoch, head };
}

/**
 * Opens this phone's own database. Rejects with a StoreError, in words for its reader, when
 * the browser keeps nothing.
 *
 * @param {Ground} ground
 */
export async function openStore(ground) {
  const { clock, channel, storage, app = "dev" } = ground;
  const { run, close } = connect(ground);
  const notices = noticesOf(channel);
  /** @type {Inner} */
  const inner = { run, clock, app, tab: v4(), changed: notices.changed, place: readPlace };
  const { install } = await run(["outbox", "meta"], "readwrite", (tx) => settleIn(tx, clock));
  const outbox = outboxOf(inner);
  return {
    ...readerOf(inner),
    /** @param {import("../entries/types.js").Draft} draft */
    save: async (draft) => (await saveTogether(inner, [draft]))[0],
    /** @param {import("../entries/types.js").Draft[]} drafts all are saved, or none */
    saveTogether: (drafts) => saveTogether(inner, drafts),
    outbox: outbox.lines,
    counts: outbox.counts,
    discardRefused: outbox.discardRefused,
    exportOutbox: outbox.exported,
    meta: metaOf(inner),
    drafts: draftsOf(inner),
    subscribe: notices.subscribe,
    clock,
    install,
    app,
    /** Asks the browser to keep the data; its answer is shown, never trusted. */
    persist: async () => (await storage?.persist?.().catch(() => false)) ?? null,
    persisted: async () => (await storage?.persisted?.().catch(() => false)) ?? null,
    /** For sync alone. */
    queue: queueOf(inner),
    /** For sync alone. */
    feed: feedOf(inner),
    async close() {
      notices.close();
      await close();
    },
  };
}

/** @typedef {Awaited<ReturnType<typeof openStore>>} Store */

/** Small things remembered by name. @param {Inner} inner */
function metaOf({ run, changed }) {
  return {
    /** @param {string} name @returns {Promise<any>} undefined when never set */
    get: (name) => run(["meta"], "readonly", (tx) => tx.objectStore("meta").get(name)),
    /** @param {string} name @param {any} value */
    async set(name, value) {
      await run(["meta"], "readwrite", (tx) => tx.objectStore("meta").put(value, name));
      changed(["meta"], []);
    },
  };
}

/** Half-filled forms, kept so that a locked screen or a killed app costs nothing. @param {Inner} inner */
function draftsOf({ run }) {
  return {
    /**
     * @param {import("../entries/types.js").Draft & Record<string, any>} draft
     * @param {import("./connection.js").How} [how]
     */
    async keep(draft, how) {
      await run(["meta"], "readwrite", (tx) =>
        tx.objectStore("meta").put(JSON.parse(JSON.stringify(draft)), `draft:${draft.id}`), how);
    },
    /** @returns {Promise<(import("../entries/types.js").Draft & Record<string, any>)[]>} oldest first */
    all: () => run(["outbox", "meta"], "readonly", async (tx) => {
      const meta = tx.objectStore("meta");
      const names = (await meta.getAllKeys()).filter((name) => String(name).startsWith("draft:"));
      const drafts = await Promise.all(names.map((name) => meta.get(name)));
      // A key typed while it was being saved has kept it once more: what is saved is no draft.
      const saved = await Promise.all(drafts.map(({ id }) => tx.objectStore("outbox").getKey(id)));
      return drafts.filter((_, n) => saved[n] === undefined);
    }),
    /** @param {string} id */
    drop: (id) => run(["meta"], "readwrite", (tx) => tx.objectStore("meta").delete(`draft:${id}`)),
  };
}
