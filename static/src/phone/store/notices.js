/**
 * @typedef {object} Change
 * @property {string[]} stores which of outbox, entries, things, states, meta
 * @property {string[]|null} frames ids of frames (and screens) touched; null means any
 * @property {boolean} saved true when it is a new entry to send
 * @property {boolean} here false when another tab did it
 *
 * @typedef {object} Channel what is used of a BroadcastChannel
 * @property {(message: any) => void} postMessage
 * @property {((event: any) => void)|null} onmessage
 * @property {() => void} close
 */

/** Tells subscribers, in this tab and others, what has just been committed. @param {Channel} [channel] */
export function noticesOf(channel) {
  /** @type {Set<(change: Change) => void>} */
  const listeners = new Set();
  let revision = 0;

  /** @param {Change} change */
  function tell(change) {
    revision += 1;
    for (const listener of listeners) listener(change);
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
      channel?.postMessage({ stores, frames, saved });
      tell({ stores, frames, saved, here: true });
    },
    /** @param {(change: Change) => void} listener @returns {() => void} how to stop hearing */
    subscribe(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    revision: () => revision,
    close() {
      listeners.clear();
      channel?.close();
    },
  };
}
