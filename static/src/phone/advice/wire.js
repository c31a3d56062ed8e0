/** The estimate as it travels. */
import { t } from "../../shared/language.js";
import { Matrix, product, transpose } from "./mechanics/algebra.js";
import { InputFault } from "./mechanics/faults.js";
import { begin } from "./mechanics/state.js";
import { wire as numbers } from "./numbers.js";

/**
 * @typedef {import("./setup.js").Setup} Setup
 * @typedef {import("./history.js").Believed} Believed
 */

/** What this and other screens taught. @param {Setup} setup @returns {typeof numbers.NOTHING_LEARNED} */
export const factorsOf = ({ request }) => request.estimate?.factors ?? numbers.NOTHING_LEARNED;

/** A screen of which nothing is known but what its kind has taught. @param {Setup} setup @returns {Believed} */
export function fresh(setup) {
  const { x, y } = factorsOf(setup).bare;
  const state = begin(setup.strip, setup.bolt, { factors: [x.mean, y.mean], factorSd: [x.sd, y.sd], level: numbers.FIRST_LEVEL_N_PER_CM });
  return { state, at: null, turnedAt: null, zeroMm: null, handled: 0, why: null };
}

/** What an estimate's body says. @param {Setup} setup @param {any} body @returns {Believed} */
export function read(setup, body) {
  const start = fresh(setup);
  if (body.mean === null) return start;
  checkLengths(start.state, body);
  const state = start.state.with({
    mean: Float64Array.from(body.mean),
    covariance: covarianceOf(body.sd, body.root),
    barMm: Float64Array.from(body.bar_mm),
    drawMm: Float64Array.from(body.draw_mm),
    rounds: body.rounds,
    trusted: body.trusted,
    caution: body.caution,
    surprise: { ratio: 1, message: body.surprise },
  });
  const moment = (/** @type {string | null} */ text) => (text === null ? null : Date.parse(text));
  return { state, at: moment(body.at), turnedAt: moment(body.turned_at), zeroMm: body.zero_mm, handled: 0, why: body.why };
}

/** diag(sd) R R' diag(sd) from the rows of the lower triangle R. @param {number[]} sd @param {number[]} root */
function covarianceOf(sd, root) {
  const n = sd.length;
  const scaled = new Matrix(n, n);
  let next = 0;
  for (let i = 0; i < n; i++) for (let j = 0; j <= i; j++) scaled.row(i)[j] = (sd[i] * root[next++]) / numbers.SCALE;
  return product(scaled, transpose(scaled));
}

/** Was it made for another frame, or by another version? @param {import("./mechanics/state.js").State} state @param {any} body */
function checkLengths(state, body) {
  const n = state.mean.length;
  const { count } = state.layout;
  for (const [key, length] of Object.entries({ mean: n, sd: n, root: (n * (n + 1)) / 2, bar_mm: count, draw_mm: count })) {
    const found = body[key]?.length ?? 0;
    if (found === length) continue;
    throw new InputFault(`estimate.${key}`, t`${found} numbers`, t`Send the estimate of this frame as it came: ${length} numbers, or null.`);
  }
}
