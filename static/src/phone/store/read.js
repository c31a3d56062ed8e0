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

    /** @param {string} kind @param {string} id @returns {Promise<any|null>} as the server last said */
    state: (kind, id) => run(["states"], "readonly", async (tx) => {
      const record = await tx.objectStore("states").get(`${kind}:${id}`);
      return record?.body ?? null;
    }),

    /**
     * Every entry that has a say about a frame (or a meter, press, job): those that name it,
     * those of its screens, and whatever corrects or voids one of them; acknowledged or still in
     * the outbox, but not refused.
     *
     * @param {string} id
     * @returns {Promise<HeldEntry[]>} in no order
     */
    entriesOfFrame: (id) => run(["entries", "outbox"], "readonly", async (tx) => {
      const having = await together(tx, id);
      return [...having.values()].map((one) => one.entry);
    }),
  };
}

/** @param {import("./connection.js").Transaction} tx */
function lookups(tx) {
  const [entries, outbox] = [tx.objectStore("entries"), tx.objectStore("outbox")];
  /** The acknowledged copy comes last and wins: it carries what the server said. */
  const merged = (/** @type {any[]} */ own, /** @type {any[]} */ held) =>
    /** @type {Found[]} */ ([...own, ...held].filter((one) => one && one.state !== "refused"));
  return {
    /** @param {string} index @param {string} [key] */
    by: async (index, key) => merged(
      ...await Promise.all([outbox.index(index).getAll(key), entries.index(index).getAll(key)]),
    ),
    /** @param {string[]} ids */
    named: async (ids) => merged(
      await Promise.all(ids.map((id) => outbox.get(id))),
      await Promise.all(ids.map((id) => entries.get(id))),
    ),
  };
}

/**
 * Follows the links between entries until nothing new turns up: what they correct or void, what
 * corrects or voids them (few, so all are read at once), the mesh they name, what names their mesh.
 *
 * @param {import("./connection.js").Transaction} tx
 * @param {string} start
 * @returns {Promise<Map<string, Found>>}
 */
async function together(tx, start) {
  const { by, named } = lookups(tx);
  const [about, amending] = await Promise.all([by("about", start), by("target")]);
  /** @type {Map<string, Found>} */
  const having = new Map();
  const entriesAsked = newcomers();
  const meshesAsked = newcomers();
  for (let edge = about; edge.length; ) {
    for (const one of edge) having.set(one.id, one);
    const meshes = edge.filter(({ entry }) => entry.kind === "mesh_fitted").map(({ id }) => id);
    const needed = edge.flatMap(({ entry, target }) => [target, entry.screen])
      .filter((id) => typeof id === "string" && !having.has(id));
    const near = await Promise.all([
      named(entriesAsked(needed)), ...meshesAsked(meshes).map((id) => by("about", id)),
    ]);
    const acts = amending.filter(({ target }) => having.has(target ?? ""));
    edge = [...near.flat(), ...acts].filter(({ id }) => !having.has(id));
  }
  return having;
}

/** Lets each id through once. @returns {(ids: any[]) => string[]} */
function newcomers() {
  /** @type {Set<string>} */
  const known = new Set();
  return (ids) => {
    const fresh = [...new Set(ids)].filter((id) => !known.has(id));
    fresh.forEach((id) => known.add(id));
    return fresh;
  };
}
