import { oneAtATime } from "../../shared/one_at_a_time.js";
import { apart } from "../store/notices.js";

/**
 * @typedef {object} Status
 * @property {"idle"|"sending"|"waiting"|"held"} state
 * @property {number} unsent
 * @property {number|null} oldest_at when the oldest unsent entry was saved, phone time, ms
 * @property {number} refused
 * @property {number|null} last_sync_at phone time, ms
 * @property {import("./verdict.js").HeldReason|null} held_reason
 * @property {string|null} why it waits or is held, in words
 * @property {number|null} next_try_at
 * @property {boolean|null} storage_persisted the browser's promise; null when it makes none
 */

/** @type {Status} */
const UNKNOWN = {
  state: "idle", unsent: 0, oldest_at: null, refused: 0, last_sync_at: null, held_reason: null,
  why: null, next_try_at: null, storage_persisted: null,
};

/** What the top line of every screen says. @param {import("../store/index.js").Store} store */
export function watch(store) {
  let now = UNKNOWN;
  /** @type {Set<(status: Status) => void>} */
  const listeners = new Set();

  /** @param {Partial<Status>} news */
  function set(news) {
    const changed = Object.entries(news).some(([key, value]) =>
      now[/** @type {keyof Status} */ (key)] !== value);
    if (!changed) return;
    now = { ...now, ...news };
    for (const listener of listeners) apart(() => listener(now));
  }

  // Storage that does not answer leaves what was known.
  const count = oneAtATime(() => store.counts().then(set, () => {}));
  const lastSync = oneAtATime(() => store.meta.get("last_sync_at").then(
    (last) => set({ last_sync_at: last ?? null }), () => {},
  ));

  return {
    set,
    get: () => now,
    /** @param {(status: Status) => void} listener @returns {() => void} */
    subscribe(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    start() {
      count();
      lastSync();
      store.persisted().then((storage_persisted) => set({ storage_persisted }));
      return store.subscribe(({ stores }) => {
        if (stores.includes("outbox")) count();
        if (stores.includes("meta")) lastSync();
      });
    },
  };
}
