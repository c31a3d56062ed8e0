const NAME = "tautbook-sync";
const STUCK_MS = 180_000;

/**
 * @typedef {object} Locks what is used of navigator.locks
 * @property {(name: string, options: {ifAvailable: true},
 *   run: (lock: any) => Promise<any>) => Promise<any>} request
 */

/**
 * Runs work in one tab at a time, where the browser has locks.
 *
 * @param {Locks|undefined} locks
 * @param {import("../entries/types.js").Clock} clock
 */
export function lockedBy(locks, clock) {
  /** @type {number|null} */
  let busySince = null;

  /**
   * @template T
   * @param {(alone: boolean) => Promise<T>} work alone: no other tab can be at it
   * @returns {Promise<T|"busy">}
   */
  return async function locked(work) {
    if (!locks) return work(false);
    return locks.request(NAME, { ifAvailable: true }, (lock) => {
      if (lock) {
        busySince = null;
        return work(true);
      }
      busySince ??= clock.mono();
      // A tab that froze while it held the lock would stop all others: the server can tell
      // what comes twice, so go on without it.
      return clock.mono() - busySince > STUCK_MS ? work(false) : Promise.resolve("busy");
    });
  };
}
