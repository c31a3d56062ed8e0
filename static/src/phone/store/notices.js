/**
 * @typedef {object} Change
 * @property {string[]} stores which of outbox, entries, things, states, meta; leases when
 *   entries of the outbox are under way from now on
 * @property {string[]|null} frames ids of frames (and screens) touched; null means any
 * @property {boolean} saved true when it is a new entry to send
 * @property {boolean} here false when another tab did it
 *
 * @typedef {object} Channel what is used of a BroadcastChannel
 * @property {(message: any) => void} postMessage
 * @property {((event: any) => void)|null} onmessage
 * @property {() => void} close
 */

/**
 * Whoever chokes on the news harms nobody else: a failing listener must not make a saved entry
 * look lost, nor stop sync.
 *
 * @param {() => void} run
 */
export function apart(run) {
  try {
    run();
  } catch (error) {
    (globalThis.reportError ?? console.error)(error);
  }
}

/** Tells subscribers, in this tab and others, what has just been committed. @param {Channel} [channel] */
export function noticesOf(channel) {
  /** @type {Set<(change: Change) => void>} */
  const listeners = new Set();

  /** @param {Change} change */
  function tell(change) {
    for (const listener of listeners) apart(() => listener(change));
  }

  if (channel) {
    channel.onmessage = (event) => tell({ ...event.data, here: false });
  }

  return {
    /**
     * @param {string[]} stores
     * @param {(string|null|undefined)[]|null} touched
     * @param {boolean} [saved]
     */
    changed(stores, touched, saved = false) {
      const named = touched?.filter((id) => typeof id === "string") ?? null;
      const frames = named && /** @type {string[]} */ ([...new Set(named)]);
      apart(() => channel?.postMessage({ stores, frames, saved }));
      tell({ stores, frames, saved, here: true });
    },
    /** @param {(change: Change) => void} listener @returns {() => void} how to stop hearing */
    subscribe(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    close() {
      listeners.clear();
      channel?.close();
    },
  };
}
