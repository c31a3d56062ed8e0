import { callOn } from "./call.js";
import { lockedBy } from "./lock.js";
import { planner } from "./plan.js";
import { lineOf, round } from "./round.js";
import { watch } from "./status.js";

export { wakes } from "./wake.js";

/**
 * @typedef {import("./wake.js").Reason} Reason
 *
 * @typedef {object} Means
 * @property {import("../store/index.js").Store} store
 * @property {typeof globalThis.fetch} fetch
 * @property {import("../entries/types.js").Clock} clock
 * @property {import("./lock.js").Locks} [locks] navigator.locks, where there are any
 * @property {import("./wake.js").Online} [online]
 * @property {() => number} [random]
 * @property {number} [patience] ms until a request is given up
 */

/**
 * Keeps the outbox and the server's feed moving, as long as the app is open. One tab works at a
 * time where the browser has locks; where it has none the server sorts out what comes twice.
 *
 * @param {Means} means
 */
export function createSync({ store, fetch, clock, locks, online, random = Math.random, patience }) {
  const line = lineOf(store, clock, callOn({ fetch, clock, patience }));
  const locked = lockedBy(locks, clock);
  const status = watch(store);
  const plan = planner({ clock, random, tell: status.set, wake: () => kick("timer") });
  let stopped = true;
  let onceMore = false;
  /** @type {Promise<void>|null} */
  let running = null;
  /** @type {(() => void)[]} */
  let ends = [];

  async function run() {
    do {
      onceMore = false;
      plan.stop();
      const outcome = await locked((alone) => {
        status.set({ state: "sending" });
        return round(line, alone);
      }).catch(() => /** @type {const} */ ("busy"));
      if (!stopped) plan.after(outcome);
    } while (onceMore && !stopped && !plan.quiet());
  }

  /**
   * Tries now, whatever was being waited for; only a server that asked for quiet gets it.
   *
   * @param {Reason} reason
   * @returns {Promise<void>} when that try is over
   */
  async function kick(reason) {
    if (stopped || (plan.quiet() && reason !== "hand")) return;
    if (reason !== "timer") plan.forgetFailures();
    onceMore = running !== null;
    running ??= run().finally(() => {
      running = null;
    });
    await running;
  }

  return {
    start() {
      stopped = false;
      const saved = store.subscribe((change) => {
        if (change.saved && change.here) kick("enqueue");
      });
      ends = [saved, online?.(kick) ?? (() => {}), status.start(), plan.stop];
      return kick("start");
    },
    /** Lets a round that is under way end, and starts none after it. */
    async stop() {
      stopped = true;
      for (const end of ends) end();
      await running;
    },
    kick,
    status: status.get,
    subscribe: status.subscribe,
  };
}
