/** Meter readings as the mechanics takes them. */
import { t } from "../../../shared/language.js";
import { InputFault, number } from "./faults.js";

/** @typedef {{u: number, v: number, along: number | null, across: number | null}} Reading  N/cm in x and in y */

/** @param {number} u @param {number} v @param {number | null} [along] @param {number | null} [across] @returns {Reading} */
export function reading(u, v, along = null, across = null) {
  number("u", u, 0, 1, t`Enter the place as a fraction along side A`);
  number("v", v, 0, 1, t`Enter the place as a fraction away from side A`);
  if (along === null && across === null) {
    throw new InputFault("along_a_n_per_cm", null, t`Enter at least one of the two directions.`);
  }
  for (const [name, value] of [["along_a_n_per_cm", along], ["across_a_n_per_cm", across]]) {
    if (value !== null) number(/** @type {string} */ (name), value, 0, 150, t`Enter what the meter shows in N/cm`);
  }
  return { u, v, along, across };
}

/**
 * One row per value shown.
 *
 * @param {Reading[]} readings
 * @returns {{place: import("./layout.js").Place, axis: 0 | 1, value: number}[]}
 */
export function table(readings) {
  return readings.flatMap(({ u, v, along, across }) =>
    [along, across].flatMap((value, axis) => (value === null ? [] : [{ place: /** @type {[number, number]} */ ([u, v]), axis: /** @type {0 | 1} */ (axis), value }])),
  );
}
