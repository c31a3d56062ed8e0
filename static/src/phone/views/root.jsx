/** Holds what all views share and shows the view that the address names. */
import { useEffect, useMemo, useState } from "preact/hooks";

import { newDraft } from "../entries/index.js";
import { AppContext } from "../ui/app.js";
import { NOTHING, flat, told } from "../ui/remembered.js";
import { createRouter } from "../ui/route.js";
import { NO_THINGS, loadThings } from "../ui/things.js";
import { VIEWS } from "./index.js";

/** The remembered context: in memory at once, on disk soon after. @param {any} store */
function useRemembered(store) {
  const [remembered, setRemembered] = useState(/** @type {import("../ui/remembered.js").Remembered | null} */ (null));
  useEffect(() => {
    store.meta.get("context").then((/** @type {any} */ kept) => setRemembered(kept ?? NOTHING));
  }, [store]);
  /** @param {any} news */
  const remember = (news) =>
    setRemembered((before) => {
      const next = told(before ?? NOTHING, news);
      store.meta.set("context", next);
      return next;
    });
  return { remembered, remember };
}

/** @param {any} store */
function useThingsOf(store) {
  const [things, setThings] = useState(NO_THINGS);
  useEffect(() => {
    let current = true;
    const read = () => loadThings(store).then((fresh) => current && setThings(fresh));
    read();
    const stop = store.subscribe((/** @type {any} */ change) => change.stores.includes("things") && read());
    return () => {
      current = false;
      stop();
    };
  }, [store]);
  return things;
}

function useRouter() {
  const [route, setRoute] = useState(/** @type {import("../ui/route.js").Route | null} */ (null));
  const router = useMemo(() => createRouter(window, setRoute), []);
  return { router, route: route ?? router.route() };
}

/**
 * Saves drafts. A form that was saved already and says something else by now, as in another tab,
 * becomes an entry of its own: neither of the two may be lost.
 *
 * @param {any} store @param {any[]} drafts @returns {Promise<any[]>}
 */
async function saveAll(store, drafts) {
  try {
    return await store.saveTogether(drafts);
  } catch (error) {
    if (/** @type {any} */ (error).code !== "other" || drafts.length > 1) throw error;
    return store.saveTogether([newDraft({ ...drafts[0], id: undefined })]);
  }
}

/** @param {{app: any}} props */
export function Root({ app }) {
  const { router, route } = useRouter();
  const { remembered, remember } = useRemembered(app.store);
  const things = useThingsOf(app.store);
  const [notice, notify] = useState(/** @type {any} */ (null));
  const [scanned, setScanned] = useState(/** @type {any} */ (null));

  useEffect(() => {
    window.scrollTo(0, 0);
    document.getElementById("matter")?.focus({ preventScroll: true });
  }, [route.name, route.code, route.arg]);

  if (!remembered) return null;
  const context = flat(remembered);

  /** Saves, shows the tick with Undo, and goes back to the frame's card. */
  async function save(/** @type {any} */ drafts, /** @type {any} */ said) {
    // The tick of the entry before must not be taken for this one's.
    notify(null);
    try {
      const entries = await saveAll(app.store, [drafts].flat());
      notify({ sort: "saved", text: said.text, caution: said.caution, entries: said.lasting ? [] : entries });
      if (!said.stay) router.backTo(route.code ? "card" : "home", { code: route.code });
      return entries[0];
    } catch (error) {
      notify({ sort: "trouble", text: /** @type {Error} */ (error).message });
      return null;
    }
  }

  const View = VIEWS[route.name] ?? VIEWS.home;
  const shared = { ...app, router, route, things, context, remember, notice, notify, save, scanned, setScanned };
  return (
    <AppContext.Provider value={shared}>
      <View key={`${route.name} ${route.code} ${route.arg}`} code={route.code} arg={route.arg} />
    </AppContext.Provider>
  );
}
