/** What advice is asked with: things, state and the entries that the estimate does not know. Pure. */
import { hiddenBolts } from "../../../shared/drawing/clamps.js";
import { correctedMs } from "../../entries/index.js";
import { effective, inOrder } from "../../fold/index.js";

const DAY_MS = 86_400_000;

/**
 * @typedef {import("../../entries/types.js").HeldEntry} HeldEntry
 * @typedef {import("../../../shared/types.js").View} View
 */

/** What is true of a screen, in order, from its mesh on. @param {HeldEntry[]} entries @param {string} screen */
export function ofScreen(entries, screen) {
  const own = effective(entries).filter((entry) => (entry.screen ?? screen) === screen);
  return own.slice(own.findIndex((entry) => entry.id === screen));
}

/** The entry that a void or correction speaks of, also where it takes back another of them; none where they speak of each other. @param {HeldEntry} act @param {Map<string, HeldEntry>} all @returns {HeldEntry | undefined} */
function spokenOf(act, all) {
  /** @type {Set<HeldEntry>} */ const met = new Set();
  /** @type {HeldEntry | undefined} */ let at = act;
  while (at && (at.kind === "void" || at.kind === "correction") && !met.has(at)) {
    met.add(at);
    at = all.get(at.payload.voids ?? at.payload.corrects);
  }
  return at && met.has(at) ? undefined : at;
}

/**
 * The server's estimate ends with a check; what came later is added here. Where something older
 * than that check is news to the server, the whole log speaks, and of the estimate only what it
 * learnt from other screens.
 *
 * @param {HeldEntry[]} entries all that have a say about the frame
 * @param {string} screen
 * @param {any} estimate the server's, or null
 * @returns {{estimate: any, since: any[]}}
 */
export function sinceOf(entries, screen, estimate) {
  const own = ofScreen(entries, screen);
  const wire = (/** @type {HeldEntry} */ { id, kind, payload, occurred_at, clock_offset_ms }) => ({ id, kind, payload, occurred_at, clock_offset_ms });
  const at = estimate?.after ? own.findIndex((entry) => entry.id === estimate.after) : -1;
  const news = (/** @type {HeldEntry} */ entry) => entry.seq === undefined || entry.seq > estimate.seq;
  const all = new Map(entries.map((entry) => [entry.id, entry]));
  const touched = (/** @type {HeldEntry} */ act) => {
    const target = spokenOf(act, all);
    const now = own.findIndex((entry) => entry.id === target?.id);
    return target && ((now >= 0 && now <= at) || inOrder(target, own[at]) <= 0);
  };
  const acts = entries.filter((entry) => entry.kind === "void" || entry.kind === "correction");
  const stale = at < 0 || own.slice(0, at + 1).some(news) || acts.filter(news).some(touched);
  return stale ? { estimate: estimate && { ...estimate, mean: null }, since: own.map(wire) } : { estimate, since: own.slice(at + 1).map(wire) };
}

/**
 * Bringing a mesh up is stretching; once it has carried a stencil it is a retension, of which
 * further rounds on the same day are not counted again.
 *
 * @param {HeldEntry[]} own `ofScreen` @param {number} now ms
 * @returns {"stretch" | "retension"}
 */
export function purposeOf(own, now) {
  const last = own.findLastIndex((entry) => entry.kind === "bolt_turns" && entry.payload.purpose === "retension");
  const coated = (/** @type {HeldEntry[]} */ some) => some.some((entry) => entry.kind === "coated");
  const going = last >= 0 && !coated(own.slice(last)) && now - correctedMs(own[last]) < DAY_MS;
  return coated(own) && !going ? "retension" : "stretch";
}

/**
 * @param {object} about
 * @param {any} about.card @param {import("../../ui/things.js").Things} about.things @param {any} about.press  the one the frame lies on, or null
 * @param {HeldEntry[]} about.entries @param {any} about.estimate @param {View} about.view
 * @param {Record<string, any>} options  beside those that follow from the rest
 */
export function requestOf({ card, things, press, entries, estimate, view }, options) {
  const { thing, screen, frame } = card;
  return {
    frame: thing,
    mesh: things.get("mesh", screen.mesh),
    shop: things.shop.id ? things.shop : null,
    press,
    screen,
    frame_state: frame,
    ...sinceOf(entries, screen.screen, estimate),
    readings: null,
    options: {
      ...view,
      hidden: press ? hiddenBolts(thing, view, press.clamps ?? []) : [],
      override: null,
      step_48ths: null,
      round_limit_48ths: null,
      target_n_per_cm: null,
      tolerance_n_per_cm: null,
      first_round: null,
      where: press || frame.place?.to === "press" ? "press" : "bench",
      ...options,
    },
  };
}
