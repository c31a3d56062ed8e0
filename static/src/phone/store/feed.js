import { found } from "./record.js";

/**
 * @typedef {{epoch: string, seq: number, id: string|null}} Place where this phone is in the feed
 * @typedef {{type: "entry"|"thing"|"state", kind: string, object: string, body: any}} Item body
 *   null: no more
 */

/** A frame is found by its code or by the shop's own number, however it is typed. @param {unknown} text */
export const plain = (text) => String(text ?? "").toUpperCase().replace(/[^\p{L}\p{N}]/gu, "");

/** @param {Item} item */
function keyOf({ type, kind, object }) {
  if (type === "entry") return object;
  return type === "state" ? `${kind}:${object}` : [kind, object];
}

/** @param {Item} item */
function record(item) {
  const { type, kind, object, body } = item;
  if (type === "entry") return { id: object, entry: body, ...found(body) };
  const kept = { key: keyOf(item), kind, id: object, body };
  if (type === "state") return kept;
  return { ...kept, names: [plain(body.code), plain(body.second_name)].filter(Boolean) };
}

const HOME = /** @type {const} */ ({ entry: "entries", thing: "things", state: "states" });

/** @param {Item[]} items @returns {string[]} the frames these items show something new about */
const framesIn = (items) => items.flatMap(({ type, kind, object, body }) => {
  if (type === "entry") return found(body).about;
  return kind === "frame" || !body?.frame ? [object] : [body.frame];
});

/** The place a phone has reached in the server's feed. @param {import("./index.js").Inner} inner */
export function feedOf({ run, changed, place }) {
  /** @param {number} seq what entries saved from now on say they had seen */
  const seen = (seq) => run(["meta"], "readwrite", async (tx) => {
    await tx.objectStore("meta").put(seq, "base_seq");
  });

  return {
    /** @returns {Promise<import("./index.js").Standing>} */
    place: () => run(["cursor"], "readonly", place),

    /**
     * Writes changes and the new place in one transaction.
     *
     * @param {Place} from where the phone stood when it asked
     * @param {Place} to
     * @param {Item[]} items
     * @returns {Promise<boolean>} false when another tab has moved on meanwhile: nothing written
     */
    async apply(from, to, items) {
      const done = await run(["entries", "things", "states", "cursor"], "readwrite", async (tx) => {
        const here = (await place(tx)).place;
        if (here?.seq !== from.seq || here.id !== from.id || here.epoch !== from.epoch) return false;
        await write(tx, items);
        await tx.objectStore("cursor").put(to, "place");
        return true;
      });
      if (!done) return false;
      await seen(to.seq);
      if (items.length) changed(["entries", "things", "states"], framesIn(items));
      return true;
    },

    /**
     * Puts a whole snapshot in place of what was there; the outbox is not touched.
     *
     * @param {Place} to
     * @param {Item[]} items
     */
    async replace(to, items) {
      await run(["entries", "things", "states", "cursor"], "readwrite", async (tx) => {
        await Promise.all(Object.values(HOME).map((name) => tx.objectStore(name).clear()));
        await write(tx, items);
        await tx.objectStore("cursor").put(to, "place");
      });
      await seen(to.seq);
      changed(["entries", "things", "states"], null);
    },

    /** Gives up the place, so that the next pull takes a snapshot. */
    async forget() {
      await run(["cursor"], "readwrite", (tx) => tx.objectStore("cursor").delete("place"));
    },
  };
}

/**
 * @param {import("./connection.js").Transaction} tx
 * @param {Item[]} items
 */
async function write(tx, items) {
  await Promise.all(items.map((item) => {
    const home = tx.objectStore(HOME[item.type]);
    return item.body === null ? home.delete(keyOf(item)) : home.put(record(item));
  }));
}
