// One phone as a test sees it: shipped store and sync, a clock that is moved, a network that is told.
import { newDraft } from "../../../static/src/phone/entries/index.js";
import { foldFrame } from "../../../static/src/phone/fold/index.js";
import { movedClock } from "../../js/bench/clock.mjs";
import { newDevice, openTab } from "../../js/bench/device.mjs";
import { newStorage } from "../../js/bench/storage.mjs";
import { newNetwork } from "./network.mjs";

const PATIENCE = 45_000;
const STORAGE_PATIENCE = 120_000;

/** Repeatable chance: mulberry32, common practice, no source. @param {number} seed */
export function seeded(seed) {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let x = Math.imul(state ^ (state >>> 15), state | 1);
    x ^= x + Math.imul(x ^ (x >>> 7), x | 61);
    return ((x ^ (x >>> 14)) >>> 0) / 2 ** 32;
  };
}

/** @param {{origin: string, cookie: string, seed?: number, start?: number, zone?: number, locks?: boolean}} how */
export function newPhone({ origin, cookie, seed = 1, locks = true, ...how }) {
  const device = newDevice(how);
  const random = seeded(seed);
  const clock = movedClock(how);
  let secret = cookie;
  const network = newNetwork({ origin, cookie: () => secret, clock, patience: PATIENCE });
  /** @type {Map<string, Awaited<ReturnType<typeof openTab>>>} */
  const tabs = new Map();
  const tab = (name = "one") => tabs.get(name) ?? fail(`no tab ${name} is open`);

  /** Waits until the tab's sync rests; `died` if the tab does not live to see it. */
  async function rested(/** @type {Awaited<ReturnType<typeof openTab>>} */ one) {
    const busy = () => one.sync.status().state === "sending";
    const over = async () => {
      while (busy()) {
        await new Promise((resolve) => {
          const stop = one.sync.subscribe(() => resolve(stop()));
          if (!busy()) resolve(stop());
        });
        await new Promise(setImmediate);
      }
      return "rested";
    };
    return one.until(over());
  }

  /** Where storage does not answer, time passes until that is given up. */
  async function outwaited(/** @type {Awaited<ReturnType<typeof openTab>>} */ one, /** @type {Promise<any>} */ work) {
    let over = false;
    work.finally(() => { over = true; }).catch(() => {});
    while (!over && !one.storage.isSilent()) await new Promise((go) => { setTimeout(go, 2); });
    if (!over) clock.jump(STORAGE_PATIENCE);
  }

  const does = {
    async open({ name = "one" }) {
      const one = await openTab(device, {
        fetch: network.fetch, clock, random, locks, patience: PATIENCE,
      });
      tabs.set(name, one);
      one.died.then(() => tabs.get(name) === one && tabs.delete(name));
      await one.until(one.sync.start());
      return one.store.install;
    },
    tabs: () => [...tabs.keys()],
    network: (next) => network.set(next),
    deliverLate: () => network.deliverLate(),
    requests: () => network.log.splice(0),
    /** The browser throws away what the app kept. */
    evict() {
      for (const one of tabs.values()) one.storage.die();
      tabs.clear();
      device.storage = newStorage();
    },
    cookie: ({ value }) => { secret = value; },
    async save({ name, draft }) {
      const bytes = () => Uint8Array.from({ length: 16 }, () => Math.floor(random() * 256));
      const made = newDraft(draft, { msecs: clock.now(), rng: bytes });
      const one = tab(name);
      const entry = await one.until(one.store.save(made));
      await rested(one);
      return entry === "died" ? { died: true, draft: made } : entry;
    },
    async saveMany({ name, count, draft }) {
      const { store } = tab(name);
      const saved = [];
      for (let n = 0; n < count; n += 1) saved.push(await store.save(newDraft(draft)));
      return saved;
    },
    async kick({ name = "one", reason = "hand" }) {
      const one = tabs.get(name);
      // What a tab still had to read of its own accord may have been its last step.
      if (!one) return "died";
      const work = one.until(one.sync.kick(reason)).then(() => rested(one));
      await outwaited(one, work);
      return work;
    },
    async pass({ ms }) {
      await Promise.race([clock.pass(ms), ...[...tabs.values()].map((one) => one.died)]);
    },
    put: ({ ms }) => clock.put(ms),
    now: () => clock.now(),
    /** Without a step nothing fails any more, and what hangs is given up. */
    failAt({ name, step, way }) {
      const { storage } = tab(name);
      const hangs = storage.isSilent();
      storage.failAt(step ?? Infinity, way);
      if (hangs) clock.jump(STORAGE_PATIENCE);
    },
    dieAt: ({ name, step }) => tab(name).storage.dieAt(step),
    steps: ({ name }) => tab(name).storage.taken(),
    isOpen: ({ name }) => tabs.has(name),
    /** False if it was dead already. */
    kill({ name = "one" }) {
      const one = tabs.get(name);
      one?.storage.die();
      tabs.delete(name);
      return one !== undefined;
    },
    closeDatabase: ({ name }) => tab(name).storage.closeAll(),
    fill: ({ name, full }) => tabs.get(name)?.storage.fill(full),
    thawLock: () => device.locks.thaw("tautbook-sync"),
    freezeLock: () => device.locks.freeze("tautbook-sync"),
    outbox: ({ name }) => tab(name).store.outbox(),
    counts: ({ name }) => tab(name).store.counts(),
    status: ({ name }) => tab(name).sync.status(),
    place: ({ name }) => tab(name).store.feed.place(),
    exported: ({ name }) => tab(name).store.exportOutbox(),
    things: ({ name, kind }) => tab(name).store.things(kind),
    states: ({ name, kind }) => tab(name).store.states(kind),
    meta: ({ name, key }) => tab(name).store.meta.get(key),
    entries: ({ name, frame }) => tab(name).store.entriesOfFrame(frame),
    view: ({ name, frame }) => tab(name).frames.frameView(frame),
    async fold({ name, frame }) {
      return foldFrame(await tab(name).store.entriesOfFrame(frame), frame);
    },
  };
  return does;
}

/** @param {string} words @returns {never} */
function fail(words) {
  throw new Error(words);
}
