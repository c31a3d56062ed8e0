import { LOCALE, t } from "../../../shared/language.js";
import { tensionText } from "../../../shared/units.js";
import { correctedMs } from "../../entries/index.js";

/** Half a week more than a month: the forecast has a point at thirty days. */
const AHEAD_MS = 33 * 86_400_000;

/** @typedef {{at: number, low: number, mean: number, high: number}} Point */

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

/** What the forecast expects after the last check, if it knows that check. @param {any} forecast @param {{id: string, at: number}[]} series @param {number} [now] @returns {Point[]} */
export function aheadOf(forecast, series, now = Date.now()) {
  const last = series.at(-1);
  if (!forecast || !last || forecast.after !== last.id) return [];
  return forecast.curve
    .map((/** @type {any} */ one) => ({ ...one, at: Date.parse(one.at) }))
    .filter((/** @type {Point} */ one) => one.at > last.at && one.at <= Math.max(last.at, now) + AHEAD_MS);
}

/** "25 Dec" @param {number} at */
const dayText = (at) => new Date(at).toLocaleDateString(LOCALE, { day: "numeric", month: "short" });

/** What the dots show, in one sentence. @param {Point[]} series */
export function readText(series) {
  const [first, last] = [series[0], /** @type {Point} */ (series.at(-1))];
  if (first === last) return t`Read once: ${tensionText(last.mean)}.`;
  return t`Read ${series.length} times: ${tensionText(first.mean)} at first, ${tensionText(last.mean)} last.`;
}

/** What the band shows, in one sentence; nothing without a forecast. @param {Point[]} ahead */
export function aheadText(ahead) {
  const end = ahead.at(-1);
  return end ? t`About ${tensionText(end.mean)} on ${dayText(end.at)} without printing, ${tensionText(end.low)} to ${tensionText(end.high)}.` : "";
}

/** What each line of the chart is: by how it is drawn, since colours alone tell not everybody. @param {Point[]} ahead */
export function legendText(ahead) {
  const read = t`Solid: mean. Long dashes: lowest spot. Short dashes: highest spot. Green band: wanted.`;
  return ahead.length > 0 ? `${read} ${t`Grey band: what is expected, dotted its mean.`}` : read;
}
