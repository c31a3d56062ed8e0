/**
 * A new version waits until the reader says so: a form being filled in is never pulled away.
 *
 * @param {ServiceWorkerContainer | undefined} container
 * @returns {{waiting: () => boolean, take: () => void, renew: () => Promise<void>, subscribe: (heard: () => void) => () => void}}
 */
export function followUpdates(container) {
  /** @type {ServiceWorker | null} */ let waiting = null;
  const listeners = new Set(/** @type {(() => void)[]} */ ([]));

  /** @param {ServiceWorker | null} worker */
  function found(worker) {
    // Without a controller this is the first install: nothing older is running.
    if (!worker || !container?.controller) return;
    waiting = worker;
    for (const heard of listeners) heard();
  }

  /** @param {ServiceWorkerRegistration} registration */
  function follow(registration) {
    found(registration.waiting);
    registration.addEventListener("updatefound", () => {
      const coming = registration.installing;
      coming?.addEventListener("statechange", () => coming.state === "installed" && found(registration.waiting));
    });
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState === "visible") registration.update().catch(() => {});
    });
  }

  let taken = false;
  container?.addEventListener("controllerchange", () => taken && location.reload());
  // A phone out of reach of its server keeps the version it has.
  container?.register("/sw.js", { updateViaCache: "none" }).then(follow, () => {});

  return {
    waiting: () => waiting !== null,
    take() {
      // Another tab may have let it in, or is about to: then only this page is still old.
      if (waiting?.state !== "installed") return location.reload();
      taken = true;
      waiting.postMessage({ type: "skip-waiting" });
    },
    /** Whatever the server hands out now takes the place of what runs, as soon as all of it is here. */
    async renew() {
      const registration = await container?.getRegistration();
      await registration?.update();
      const coming = registration?.installing ?? registration?.waiting;
      if (!coming) return location.reload();
      taken = true;
      const take = () => coming.state === "installed" && coming.postMessage({ type: "skip-waiting" });
      coming.addEventListener("statechange", take);
      take();
    },
    subscribe(heard) {
      listeners.add(heard);
      return () => listeners.delete(heard);
    },
  };
}
