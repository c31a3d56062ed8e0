/**
 * @typedef {{u: number, v: number, along_a_n_per_cm: number|null,
 *   across_a_n_per_cm: number|null}} Spot
 *
 * @typedef {object} Check tensions in N/cm; low, high and spread are over the means of spots
 * @property {string} id
 * @property {string} at
 * @property {string} stencil bare or coated
 * @property {string|null} meter
 * @property {Spot[]} spots
 * @property {number} low
 * @property {number} high
 * @property {number} mean
 * @property {number} spread
 */

/** Halves up, as the server rounds. @param {number} x */
const rounded = (x) => Math.floor(x * 1000 + 0.5) / 1000;

/** Added from left to right, so that every machine gets the same last bit. @param {number[]} numbers */
const mean = (numbers) => numbers.reduce((sum, x) => sum + x, 0) / numbers.length;

/** @param {Spot} spot @returns {number[]} the one or two readings taken there */
export const readings = ({ along_a_n_per_cm: along, across_a_n_per_cm: across }) =>
  [along, across].filter((x) => typeof x === "number");

/** @param {Spot} spot */
export const spotMean = (spot) => mean(readings(spot));

/**
 * @param {{id: string, payload: any}} entry a tension check
 * @param {string} at
 * @returns {Check}
 */
export function summary({ id, payload }, at) {
  const means = payload.spots.map(spotMean);
  const [low, high] = [Math.min(...means), Math.max(...means)];
  return {
    id, at, stencil: payload.stencil, meter: payload.meter ?? null,
    spots: payload.spots.map((/** @type {Spot} */ spot) => ({
      u: spot.u, v: spot.v,
      along_a_n_per_cm: spot.along_a_n_per_cm ?? null,
      across_a_n_per_cm: spot.across_a_n_per_cm ?? null,
    })),
    low: rounded(low), high: rounded(high), mean: rounded(mean(means)),
    spread: rounded(high - low),
  };
}
