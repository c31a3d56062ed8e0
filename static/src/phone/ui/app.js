/** What every view may reach, and how a view reads the store. */
import { createContext } from "preact";
import { useContext, useEffect, useState } from "preact/hooks";

import { oneAtATime } from "../../shared/one_at_a_time.js";

/**
 * @typedef {object} Notice
 * @property {"saved" | "trouble"} sort @property {string} text @property {string} [caution]
 * @property {import("../entries/types.js").Entry[]} [entries]  what Undo would take back
 *
 * @typedef {object} Said  what a saved entry is told with
 * @property {string} text @property {string} [caution]
 * @property {boolean} [stay]  on this page @property {boolean} [lasting]  without Undo
 *
 * @typedef {object} App
 * @property {any} store @property {any} sync @property {any} frames @property {any} server
 * @property {{origin: string, worker: string, wasm: string, chart: string, later: string, advice: string, app: string}} addresses
 * @property {ReturnType<typeof import("./route.js").createRouter>} router
 * @property {import("./things.js").Things} things
 * @property {import("./remembered.js").Context} context
 * @property {(news: Parameters<typeof import("./remembered.js").told>[1]) => void} remember
 * @property {(drafts: any, said: Said) => Promise<any>} save  one draft, or several that are saved together
 * @property {(notice: Notice | null) => void} notify @property {Notice | null} notice
 * @property {ReturnType<typeof import("../updates.js").followUpdates>} updates
 * @property {import("./route.js").Route} route
 * @property {{code: string, text: string} | null} scanned  raw text of the label scanned last
 * @property {(scanned: App["scanned"]) => void} setScanned
 */
export const AppContext = createContext(/** @type {App} */ (/** @type {unknown} */ (null)));

export const useApp = () => useContext(AppContext);

/** Whether a commit can change what cards show; leases and receipts of the outbox do not. @param {any} change */
export const touchesFrames = ({ frames }) => !frames || frames.length > 0;

/**
 * A value read from the store, read again after every commit that can change it: once for all of
 * them that come while it is being read.
 * @template T
 * @param {() => Promise<T>} load
 * @param {any[]} deps
 * @param {(change: any) => boolean} [matters]  which commits to read again after
 * @returns {T | undefined} undefined until first read
 */
export function useLoaded(load, deps, matters = () => true) {
  const { store, notify } = useApp();
  const [value, setValue] = useState(/** @type {T | undefined} */ (undefined));
  useEffect(() => {
    let current = true;
    const read = oneAtATime(() =>
      load().then(
        (fresh) => current && setValue(() => fresh),
        (error) => current && notify({ sort: "trouble", text: error.message }),
      ));
    read();
    const stop = store.subscribe((/** @type {any} */ change) => matters(change) && read());
    return () => {
      current = false;
      stop();
    };
  }, deps);
  return value;
}

/** The time, refreshed so that ages on screen stay true. @param {number} [every] ms */
export function useNow(every = 20_000) {
  const [now, setNow] = useState(() => Date.now());
  useEffect(() => {
    const timer = setInterval(() => setNow(Date.now()), every);
    return () => clearInterval(timer);
  }, [every]);
  return now;
}
