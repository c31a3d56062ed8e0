/** Parts that the answers share. */
import { said } from "../../shared/language.js";
import { follow, fromTotals, readingsOf } from "./history.js";
import { rounded } from "./mechanics/text.js";
import { afterReadings } from "./mechanics/updating.js";
import { answers as numbers } from "./numbers.js";
import { fresh, read } from "./wire.js";

/**
 * @typedef {import("./setup.js").Setup} Setup
 * @typedef {import("./mechanics/layout.js").Place} Place
 * @typedef {{bolt: string, turn_48ths: number}} Turned
 */

export const { VERSION } = numbers;

/** What is believed after everything the request knows, and why it is doubted. @param {Setup} setup */
function followed(setup) {
  const { estimate, since } = setup.request;
  const start = estimate ? read(setup, estimate) : fresh(setup);
  const known = since ?? (estimate?.mean ? [] : fromTotals(setup.screen));
  return follow(setup, start, known);
}

/** @param {Setup} setup */
export const believed = (setup) => followed(setup).state;

/** Why the count of turns is not to be relied on: by the log, or by the readings just now. @param {Setup} setup @param {import("./mechanics/state.js").State} state */
export function doubt(setup, state) {
  if (state.trusted) return null;
  const before = followed(setup);
  return said((before.state.trusted ? state.surprise?.message : before.why) || "") || null;
}

/** And after readings that nobody has saved yet. @param {Setup} setup */
export const withReadings = (setup) => afterReadings(believed(setup), readingsOf(setup.request.readings ?? []));

/** The spots last read: just now, in the history sent, or by the screen's state. @param {Setup} setup @param {"bare" | "coated"} [stencil] @returns {any[]} */
export function lastSpots({ request, screen }, stencil = "bare") {
  if (request.readings?.length) return request.readings;
  const checks = checksOf(request).filter(({ payload }) => payload.stencil === stencil);
  return (checks.at(-1)?.payload ?? screen.checks[stencil])?.spots ?? [];
}

/** @param {import("./setup.js").Request} request @returns {any[]} */
const checksOf = ({ since }) => (since ?? []).filter((/** @type {any} */ entry) => entry.kind === "tension_check");

/** @param {any[]} spots @returns {Place[]} */
export const placesOf = (spots) => spots.map(({ u, v }) => [u, v]);

/** Predicted readings; a direction whose band is wider than any meter's scale is left out. @param {Place[]} places @param {Float64Array[]} low @param {Float64Array[]} mean @param {Float64Array[]} high */
export function foretold(places, low, mean, high) {
  const way = (/** @type {number} */ axis, /** @type {number} */ i) => {
    const [least, value, most] = [low, mean, high].map((one) => one[axis][i]);
    const told = { value: thousandth(value), low: thousandth(least), high: thousandth(most) };
    return most - least < numbers.WIDEST_BAND_N_PER_CM ? told : null;
  };
  return places.map(([u, v], i) => ({ u, v, along_a: way(0, i), across_a: way(1, i) }));
}

/** Halves go up. @param {number} value */
export const thousandth = (value) => rounded(value + numbers.TIE, 3);

/** @param {Record<string, number>} turns48ths @param {string[]} order @returns {Turned[]} */
export const turned = (turns48ths, order) => order.flatMap((bolt) => (turns48ths[bolt] ? [{ bolt, turn_48ths: turns48ths[bolt] }] : []));

/** @param {Place[]} places @param {ArrayLike<number>[]} moved mm, in x and in y */
export const arrows = (places, [dx, dy]) => places.map(([u, v], i) => ({ u, v, dx_mm: thousandth(dx[i]), dy_mm: thousandth(dy[i]) }));

/** The `turn_plan` entry that goes with an answer; null if nothing is turned. @param {Setup} setup @param {string} purpose @param {string} status @param {any} answer */
export function payload({ request, screen, view, options }, purpose, status, answer) {
  if (!answer.bolts.length) return null;
  const { estimate } = request;
  const check = checksOf(request).at(-1) ?? screen.last_check;
  return {
    purpose,
    after: check?.id ?? null,
    estimate: estimate ? { seq: estimate.seq, digest: estimate.digest } : null,
    face: view.face,
    near: view.near,
    bolts: answer.bolts,
    predicted: answer.predicted,
    predicted_marks: answer.after ?? [],
    status,
    rounds_left: answer.rounds_left ?? null,
    limits: answer.limits.map((/** @type {string} */ text) => text.slice(0, 300)),
    override: options.override || null,
  };
}
