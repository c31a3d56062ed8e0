import { plain } from "./feed.js";

/**
 * @typedef {import("../entries/types.js").HeldEntry} HeldEntry
 * @typedef {{id: string, entry: HeldEntry, about: string[], target?: string, state?: string}} Found
 */

/** What views read. @param {import("./index.js").Inner} inner */
export function readerOf({ run }) {
  return {
    /** @param {string} kind @returns {Promise<any[]>} bodies, retired ones too */
    things: (kind) => run(["things"], "readonly", async (tx) => {
      const records = await tx.objectStore("things").index("kind").getAll(kind);
      return records.map((one) => one.body);
    }),

    /** @param {string} kind @param {string} id @returns {Promise<any|null>} */
    thing: (kind, id) => run(["things"], "readonly", async (tx) => {
      const record = await tx.objectStore("things").get([kind, id]);
      return record?.body ?? null;
    }),

    /**
     * @param {string} text a frame's code, or the shop's own number on it; hyphen and case as it comes
     * @returns {Promise<any|null>} null also when two frames carry that number
     */
    frameByCode: (text) => run(["things"], "readonly", async (tx) => {
      const name = plain(text);
      const records = name ? await tx.objectStore("things").index("names").getAll(name) : [];
      const frames = records.filter((one) => one.kind === "frame").map((one) => one.body);
      const exact = frames.find((body) => plain(body.code) === name);
      return exact ?? (frames.length === 1 ? frames[0] : null);
    }),

    /** @param {string} kind frame, screen or meter @returns {Promise<any[]>} as the server last said */
    states: (kind) => run(["states"], "readonly", async (tx) => {
      const records = await tx.objectStore("states").index("kind").getAll(kind);
      return records.map((one) => one.body);
    }),

    /**
     * Every entry that has a say about a frame: its own, those of its screens, and whatever
     * corrects or voids one of them, acknowledged or still in the outbox, but not refused.
     *
     * @param {string} frameId
     * @returns {Promise<HeldEntry[]>} in no order
     */
    entriesOfFrame: (frameId) => run(["entries", "outbox"], "readonly", async (tx) => {
      const having = await everything(tx, frameId);
      return [...having.values()].map((one) => one.entry);
    }),
  };
}

/**
 * @param {import("./connection.js").Transaction} tx
 * @param {string} frameId
 */
async function everything(tx, frameId) {
  const outbox = tx.objectStore("outbox");
  const entries = tx.objectStore("entries");
  /** @param {string} index @param {string} [key] */
  const both = async (index, key) => {
    const [sent, own] = await Promise.all([
      entries.index(index).getAll(key), outbox.index(index).getAll(key),
    ]);
    // The acknowledged copy comes last and wins: it carries what the server said.
    return /** @type {Found[]} */ ([...own.filter((one) => one.state !== "refused"), ...sent]);
  };
  /** @type {Map<string, Found>} */
  const having = new Map();
  const add = (/** @type {Found[]} */ found) => found.forEach((one) => having.set(one.id, one));
  const [about, amendments] = await Promise.all([both("about", frameId), both("target")]);
  add(about);
  const fitted = about.filter(({ entry }) => entry.kind === "mesh_fitted" && entry.id !== frameId);
  for (const found of await Promise.all(fitted.map(({ id }) => both("about", id)))) add(found);
  // A correction may name another frame than the entry it corrects does, so follow both ways
  // until nothing new turns up; there are few of them.
  for (let size = -1; size !== having.size; ) {
    size = having.size;
    add(amendments.filter(({ id, target }) => target && (having.has(target) || having.has(id))));
    const wanted = [...having.values()].flatMap(({ target }) =>
      target && !having.has(target) ? [target] : []);
    const named = await Promise.all(wanted.flatMap((id) => [outbox.get(id), entries.get(id)]));
    add(named.filter((one) => one && one.state !== "refused"));
  }
  return having;
}
