/** Register marks: where they printed against where they should be; is the error real? */
import { t } from "../../../shared/language.js";
import { marks as numbers } from "../numbers.js";
import { InputFault, number } from "./faults.js";
import { fixed } from "./text.js";

/**
 * @typedef {{u: number, v: number, dx: number, dy: number, sd: number}} Mark  where it printed less where it should be, mm, frame axes
 * @typedef {{marks: Mark[], pulls: number, pullSd: number | null, stray: number}} Scatter  means, sd of one pull, how far the worst pull lies from its mean
 * @typedef {{verdict: "real" | "scatter" | "small", rms: number, chance: number, message: string}} Significance
 */

/** @param {number} u @param {number} v @param {number} dx @param {number} dy @param {number} [sd] @returns {Mark} */
export function mark(u, v, dx, dy, sd = numbers.Mark.sd_mm) {
  number("u", u, 0, 1, t`Enter the mark's place as a fraction along side A`);
  number("v", v, 0, 1, t`Enter the mark's place as a fraction away from side A`);
  number("dx_mm", dx, -20, 20, t`Enter the error along side A in mm`);
  number("dy_mm", dy, -20, 20, t`Enter the error away from side A in mm`);
  number("sd_mm", sd, 0.001, 5, t`Enter how well the mark was measured, in mm`);
  return { u, v, dx, dy, sd };
}

/** Mean marks and scatter of the pulls; one pull is taken as it is. @param {Mark[][]} pulls @returns {Scatter} */
export function scatter(pulls) {
  const [first] = pulls;
  if (!first?.length) throw new InputFault("pulls", "none", t`Enter the marks of at least one pull.`);
  const alike = (/** @type {Mark[]} */ pull) => pull.length === first.length && pull.every(({ u, v }, i) => u === first[i].u && v === first[i].v);
  if (!pulls.every(alike)) throw new InputFault("pulls", t`different places`, t`Measure the same marks on every pull.`);
  const n = pulls.length;
  if (n === 1) return { marks: first, pulls: 1, pullSd: null, stray: 0 };
  const about = (/** @type {"dx" | "dy"} */ way, /** @type {number} */ i) => {
    const values = pulls.map((pull) => pull[i][way]);
    const mean = sum(values) / n;
    return { mean, stray: Math.max(...values.map((x) => Math.abs(x - mean))), variance: sum(values.map((x) => (x - mean) ** 2)) / (n - 1) };
  };
  const means = first.map((_, i) => ({ x: about("dx", i), y: about("dy", i) }));
  const pullSd = Math.sqrt(sum(means.flatMap(({ x, y }) => [x.variance, y.variance])) / (2 * first.length));
  const sd = Math.max(pullSd, sum(first.map((one) => one.sd)) / first.length) / Math.sqrt(n);
  return { marks: means.map(({ x, y }, i) => mark(first[i].u, first[i].v, x.mean, y.mean, sd)), pulls: n, pullSd, stray: Math.max(...means.flatMap(({ x, y }) => [x.stray, y.stray])) };
}

/** Against the scatter of the pulls, the tolerance, and what the eye can tell. @param {Scatter} taken @param {number} tolerance mm @param {string} eye @returns {Significance} */
export function significance({ marks, pulls, pullSd, stray }, tolerance, eye) {
  number("tolerance_mm", tolerance, 0.005, 10, t`Enter the register tolerance in mm`);
  const errors = marks.flatMap(({ dx, dy }) => [dx, dy]);
  const square = sum(errors.map((x) => x ** 2));
  const rms = Math.sqrt(square / marks.length);
  const worst = Math.max(...errors.map(Math.abs));
  const chance =
    pullSd === null
      ? aboveChiSquare(sum(marks.map(({ dx, dy, sd }) => (dx / sd) ** 2 + (dy / sd) ** 2)), marks.length)
      : aboveF((pulls * square) / errors.length / Math.max(pullSd, 1e-6) ** 2, marks.length, marks.length * (pulls - 1));
  const said = (/** @type {Significance["verdict"]} */ verdict, /** @type {string} */ message) => ({ verdict, rms, chance, message });
  const limit = Math.max(tolerance, /** @type {Record<string, number>} */ (numbers.EYE_MM)[eye] ?? 0.05);
  const strays = stray > worst && worst + stray > limit;
  if (worst <= limit && !strays) {
    return said("small", t`Within tolerance: worst ${fixed(worst, 2)} mm. Leave it alone.`);
  }
  if (worst <= limit || chance > numbers.ALARM || rms <= (pullSd ?? 0)) {
    return said("scatter", t`The pulls scatter as much as the error: look at lays, clamps and feed, not at bolts.`);
  }
  return said("real", pulls > 1 ? t`The error is real: ${fixed(rms, 2)} mm.` : t`The error is real: ${fixed(rms, 2)} mm. Take three pulls to be sure.`);
}

/** @param {number[]} values */
const sum = (values) => values.reduce((total, x) => total + x, 0);

/** Chance that a chi-square of 2 `half` degrees of freedom is above x. @param {number} x @param {number} half */
function aboveChiSquare(x, half) {
  let term = Math.exp(-x / 2);
  let total = 0;
  for (let i = 1; i <= half; i++) {
    total += term;
    term *= x / 2 / i;
  }
  return total;
}

/** The same for F of 2 `of` and 2 `over` degrees of freedom, a finite sum of the beta integral. @param {number} x @param {number} of @param {number} over */
function aboveF(x, of, over) {
  const y = over / (over + of * x);
  let term = y ** over;
  let total = 0;
  for (let i = 0; i < of; i++) {
    total += term;
    term *= ((over + i) / (i + 1)) * (1 - y);
  }
  return total;
}
