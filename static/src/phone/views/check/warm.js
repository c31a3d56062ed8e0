/** While readings are taken, what works plans out gets ready: its first plan would make people wait. */
import { useEffect } from "preact/hooks";

import { useApp } from "../../ui/app.js";
import { bundle } from "../../ui/bundle.js";

/** Time to lay the meter down; nobody types yet. */
const SOON_MS = 400;
/** Plans made ahead; after these the one that is waited for takes half as long. */
const AHEAD = 2;
/** Once for each start of the app. */
let warm = false;

const whenIdle = (/** @type {() => void} */ go) => (window.requestIdleCallback ? window.requestIdleCallback(go) : setTimeout(go, SOON_MS));

/** @param {any} card */
export function useWarmAdvice({ thing, screen }) {
  const { addresses, things } = useApp();
  const mesh = screen && !screen.ended ? things.get("mesh", screen.mesh) : null;

  /** One after the other, so that a tap between them is answered. @param {any} advice @param {number} left */
  const plan = (advice, left) => whenIdle(() => {
    try {
      advice.warmUp(thing, mesh);
      if (left > 1) plan(advice, left - 1);
    } catch {
      warm = false;
    }
  });

  useEffect(() => {
    if (warm || !mesh) return;
    const soon = setTimeout(async () => {
      warm = true;
      // Whatever goes wrong here comes up again, and is told, where a plan is asked for.
      const advice = await bundle(addresses.advice, "tautbookAdvice").catch(() => null);
      if (advice) plan(advice, AHEAD);
    }, SOON_MS);
    return () => clearTimeout(soon);
  }, [mesh]);
}
