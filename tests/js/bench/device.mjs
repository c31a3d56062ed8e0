// A phone: its storage outlives the tabs that are opened on it, and the tabs that die.
import { createFrames } from "../../../static/src/phone/fold/index.js";
import { openStore } from "../../../static/src/phone/store/index.js";
import { createSync } from "../../../static/src/phone/sync/index.js";
import { movedClock } from "./clock.mjs";
import { newStorage, tap } from "./storage.mjs";

/** What is used of navigator.locks, for the tabs of one phone. */
export function newLocks() {
  /** @type {Map<string, object>} */
  const held = new Map();
  return {
    /** A frozen tab never gives its lock back. */
    freeze: (/** @type {string} */ name) => held.set(name, {}),
    thaw: (/** @type {string} */ name) => held.delete(name),
    of: (/** @type {object} */ tab) => ({
      async request(/** @type {string} */ name, _options, run) {
        if (held.has(name)) return run(null);
        held.set(name, tab);
        try {
          return await run({ name });
        } finally {
          if (held.get(name) === tab) held.delete(name);
        }
      },
    }),
    release(/** @type {object} */ tab) {
      for (const [name, owner] of held) if (owner === tab) held.delete(name);
    },
  };
}

/** BroadcastChannels of one phone: each hears the others, a moment later. */
export function newChannels() {
  /** @type {Set<any>} */
  const all = new Set();
  return () => {
    const channel = {
      /** @type {((event: any) => void)|null} */
      onmessage: null,
      postMessage(/** @type {any} */ message) {
        const data = structuredClone(message);
        for (const other of all) {
          if (other !== channel) queueMicrotask(() => other.onmessage?.({ data }));
        }
      },
      close: () => all.delete(channel),
    };
    all.add(channel);
    return channel;
  };
}

/** A tab's own timers on the phone's clock: they end with the tab. */
function timersOf(/** @type {ReturnType<typeof movedClock>} */ clock) {
  /** @type {Set<() => void>} */
  const stops = new Set();
  let over = false;
  return {
    clock: {
      ...clock,
      after(/** @type {number} */ ms, /** @type {() => any} */ run) {
        if (over) return () => {};
        const stop = clock.after(ms, () => {
          stops.delete(stop);
          return run();
        });
        stops.add(stop);
        return stop;
      },
    },
    end() {
      over = true;
      for (const stop of stops) stop();
    },
  };
}

const NO_NETWORK = () => Promise.reject(new TypeError("no network"));

/** @param {{start?: number, zone?: number}} [how] */
export function newDevice(how) {
  return { storage: newStorage(), locks: newLocks(), channels: newChannels(), how };
}

/**
 * Opens the app on a phone, as one tab does.
 *
 * @param {ReturnType<typeof newDevice>} device
 * @param {{fetch?: typeof fetch, clock?: ReturnType<typeof movedClock>, locks?: boolean,
 *   random?: () => number, patience?: number, app?: string}} [how]
 */
export async function openTab(device, how = {}) {
  const { fetch = NO_NETWORK, clock = movedClock(device.how), random = () => 0.5 } = how;
  /** @type {() => void} */
  let over = () => {};
  const died = new Promise((resolve) => {
    over = () => resolve("died");
  });
  const tab = {};
  const channel = device.channels();
  const timers = timersOf(clock);
  const storage = tap(device.storage, () => {
    timers.end();
    channel.close();
    device.locks.release(tab);
    over();
  });
  const store = await openStore({
    indexedDB: /** @type {any} */ (storage.indexedDB), clock: timers.clock, channel, app: how.app ?? "test",
  });
  const locks = how.locks === false ? undefined : device.locks.of(tab);
  const sync = createSync({
    store, fetch, clock: timers.clock, locks, random, patience: how.patience,
  });
  return {
    store, sync, clock, storage, died, frames: createFrames(store),
    /** What a tab started and what became of it: its result, or that it died. */
    until: (/** @type {Promise<any>} */ work) => Promise.race([work, died]),
    async close() {
      await sync.stop();
      await store.close();
    },
  };
}
