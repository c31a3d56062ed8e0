import { correctedMs } from "../../entries/index.js";

/**
 * Checks of one screen as a series, oldest first; low, mean and high are over the means of spots.
 * @param {any[]} entries @param {string} screen
 * @returns {{id: string, at: number, low: number, mean: number, high: number, stencil: string}[]}
 */
export function tensionSeries(entries, screen) {
  return entries
    .filter((entry) => entry.kind === "tension_check" && entry.screen === screen && !entry.voided)
    .map((entry) => {
      const means = entry.payload.spots.map(spotMean);
      return {
        id: entry.id,
        at: correctedMs(entry),
        low: Math.min(...means),
        mean: means.reduce((/** @type {number} */ sum, /** @type {number} */ one) => sum + one, 0) / means.length,
        high: Math.max(...means),
        stencil: entry.payload.stencil,
      };
    })
    .sort((one, two) => one.at - two.at);
}

/** @param {import("../../../shared/types.js").Spot} spot */
function spotMean({ along_a_n_per_cm, across_a_n_per_cm }) {
  const read = [along_a_n_per_cm, across_a_n_per_cm].filter((one) => one !== null && one !== undefined);
  return read.reduce((sum, one) => sum + one, 0) / read.length;
}
