/** Opens the store, starts sync and puts the app on the page. */
import { render } from "preact";

import { LANGUAGE } from "../shared/language.js";
import { systemClock } from "./entries/index.js";
import { createFrames } from "./fold/index.js";
import { createServer } from "./server.js";
import { openStore } from "./store/index.js";
import { createSync, wakes } from "./sync/index.js";
import { Root } from "./views/root.jsx";
import { Insecure, NoStorage } from "./views/standstill.jsx";
import { followUpdates } from "./updates.js";
import "./parts.js";

const place = /** @type {HTMLElement} */ (document.getElementById("app"));
const addresses = /** @type {any} */ ({ origin: location.origin, app: "dev", ...place.dataset });

/** The browser's own fetch, which must be called on the window; answers come in the page's language. @type {typeof fetch} */
const asks = (input, init) => fetch(input, { ...init, headers: { ...init?.headers, "Accept-Language": LANGUAGE } });

async function start() {
  const clock = systemClock();
  const store = await openStore({
    indexedDB,
    clock,
    channel: new BroadcastChannel("tautbook"),
    storage: navigator.storage,
    app: addresses.app,
  });
  const sync = createSync({
    store,
    fetch: asks,
    clock,
    locks: navigator.locks,
    online: wakes(window, document),
  });
  const app = {
    store,
    sync,
    frames: createFrames(store),
    server: createServer({ fetch: asks }),
    addresses,
    updates: followUpdates(navigator.serviceWorker),
  };
  place.replaceChildren();
  render(<Root app={app} />, place);
  sync.start();
  // What the manager changed about this phone since; without an answer the last word holds.
  app.server.me().then((me) => me.device && store.meta.set("device", me.device), () => {});
  await store.persist();
}

if (!window.isSecureContext) {
  place.replaceChildren();
  render(<Insecure origin={addresses.origin} />, place);
} else {
  start().catch((error) => {
    place.replaceChildren();
    render(<NoStorage text={error.message} />, place);
  });
}
