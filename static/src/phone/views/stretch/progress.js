/** Where somebody is in fitting a mesh, as one value that survives a locked screen; and what goes into the log. Pure. */
import { newDraft } from "../../entries/index.js";
import { nippedTurns, turnedBolts } from "../plan/round.js";

/**
 * @typedef {object} Fitting
 * @property {"stretch"} page
 * @property {string} at  the step in hand
 * @property {import("../../../shared/types.js").View} view
 * @property {{rock: string, mesh: string | null, rods: string, warp: string}} values  as typed
 * @property {string} screen  id of the entry that begins the screen
 * @property {Record<string, string>} ids  of entries, by step, so that saving again doubles nothing
 * @property {import("../plan/round.js").Round | null} round
 * @property {"turn" | "nip"} stage
 */

const freshId = () => newDraft({ kind: "note" }).id;

/** @param {string[]} names  of steps @returns {Record<string, string>} */
const idsOf = (names) =>
  Object.fromEntries(names.flatMap((name) => [name, `${name}_nipped`]).map((name) => [name, freshId()]));

/** @param {string[]} names  of the steps @param {any} view @param {any} values @returns {Fitting} */
export function begin(names, view, values) {
  const ids = idsOf(names);
  return { page: "stretch", at: names[0], view, values, screen: freshId(), ids, round: null, stage: "turn" };
}

/**
 * Whoever comes back to the step that is left does it once more: what that leaves are other entries.
 * @param {Fitting} fitting @param {string[]} names @param {1 | -1} by @returns {Fitting}
 */
export function moved(fitting, names, by) {
  const to = Math.max(0, Math.min(names.length - 1, names.indexOf(fitting.at) + by));
  return { ...fitting, at: names[to], ids: { ...fitting.ids, ...idsOf([fitting.at]) }, round: null, stage: "turn" };
}

/**
 * The entries that a finished step leaves; none for steps that only guide the hands.
 * @param {Fitting} fitting
 * @param {object} about
 * @param {string} about.frame @param {any} about.by  operator and label
 * @param {string | null} [about.screen]  the live screen that it is about, once there is one
 * @param {any} about.payload  of a step of its own kind
 * @param {{mesh: string, warp: string, target_n_per_cm: number, tolerance_n_per_cm: number}} [about.fitted]  with the last lock
 * @returns {import("../../entries/types.js").Draft[]}
 */
export function entriesOfStep({ at, view, ids, screen }, { frame, by, payload, fitted, screen: live = null }) {
  const make = (/** @type {any} */ one) => newDraft({ frame, ...by, ...one });
  const step = make({ id: ids[at], kind: "stretch_step", screen: fitted ? screen : live, payload: { ...view, ...payload } });
  if (!fitted) return [step];
  return [make({ id: screen, kind: "mesh_fitted", screen, payload: { ...fitted, second_hand: false } }), step];
}

/**
 * The entries of a coarse round: what was turned, and what had gone loose.
 * @param {Fitting} fitting @param {{frame: string, screen: string, by: any}} about
 */
export function entriesOfRound({ at, view, ids, round }, { frame, screen, by }) {
  const done = /** @type {import("../plan/round.js").Round} */ (round);
  const make = (/** @type {any} */ one) => newDraft({ frame, screen, ...by, ...one });
  const bolts = turnedBolts(done);
  const nipped = Object.entries(nippedTurns(done)).map(([bolt, turn_48ths]) => ({ bolt, turn_48ths }));
  return [
    ...(bolts.length ? [make({ id: ids[at], kind: "bolt_turns", payload: { purpose: "stretch", ...view, bolts, plan: null } })] : []),
    make({ id: ids[`${at}_nipped`], kind: "nipped_up", payload: { bolts: nipped } }),
  ];
}
