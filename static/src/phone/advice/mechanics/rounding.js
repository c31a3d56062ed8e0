/** Turns in whole steps: round one bolt at a time and let the others make up for it. */
import { rounding as numbers } from "../numbers.js";
import { apply, where } from "./algebra.js";
import { Search } from "./quadratic.js";
import { rounded } from "./text.js";

/** @typedef {import("./quadratic.js").Program} Program */

/**
 * A feasible point with every unknown a whole number of steps, close to optimal: the unknown nearest
 * to a whole step first, ties to the lower number, halves towards zero. No hard limit is broken;
 * where that leads nowhere every unknown is taken down towards zero, or to zero.
 *
 * @param {Program} program @param {number} step size of a step @param {Float64Array} first solution without rounding
 * @returns {Float64Array | null} null if no whole steps satisfy the limits
 */
export function roundToSteps(program, step, first) {
  const low = program.low.map((x) => Math.ceil(x / step - 1e-9) * step);
  const high = program.high.map((x) => Math.floor(x / step + 1e-9) * step);
  const near = numbers.NEAR * step;
  if (low.some((x, i) => x > high[i] + near)) return null;
  const wholeEnds = { ...program, low, high };
  const isOpen = Array.from(low, (x, i) => high[i] - x > near);
  const found = low.slice();
  let search = new Search(widened(wholeEnds));
  for (let x = first, open = where(isOpen); open.length; x = search.x, open = where(isOpen)) {
    const distance = open.map((i) => Math.abs(x[i] / step - Math.round(x[i] / step)));
    const ready = open.filter((_, k) => distance[k] < numbers.NEAR);
    const chosen = ready.length ? ready : [nearest(open, distance)];
    const fixed = fix(search, wholeEnds, chosen, chosen.map((i) => x[i] / step), step);
    if (!fixed) return towardsZero(wholeEnds, first, step);
    ({ search } = fixed);
    chosen.forEach((i, k) => ([found[i], isOpen[i]] = [fixed.values[k], false]));
  }
  return found.map((value) => Math.round(value / step) * step);
}

/** Rows that unknowns in whole steps may meet exactly. @param {Program} program @returns {Program} */
function widened(program) {
  const [rowLow, rowHigh] = [program.rowLow, program.rowHigh].map((ends, side) =>
    ends.map((end) => end + (side ? 1 : -1) * 1e-9 * (1 + Math.abs(end))));
  return { ...program, rowLow, rowHigh };
}

/** The first of those whose distance is least. @param {number[]} open @param {number[]} distance */
function nearest(open, distance) {
  const told = distance.map((x) => rounded(x, numbers.DIGITS));
  return open[told.indexOf(Math.min(...told))];
}

/** The nearest whole number, halves towards zero. @param {number} part */
export const whole = (part) => Math.sign(part) * Math.ceil(Math.abs(part) - 0.5 - numbers.NEAR);

/**
 * The chosen unknowns fixed at the nearer feasible step, the rest solved from where it was.
 *
 * @param {Search} search @param {Program} program @param {number[]} chosen @param {number[]} parts where they are, in steps @param {number} step
 */
function fix(search, { low, high }, chosen, parts, step) {
  const nearer = parts.map(whole);
  const other = nearer.map((near, k) => (parts[k] > near ? near + 1 : near - 1));
  for (const candidate of [nearer, other]) {
    const values = chosen.map((i, k) => Math.min(Math.max(candidate[k] * step, low[i]), high[i]));
    const trial = new Search(search);
    if (chosen.every((i, k) => trial.fix(i, values[k])) && trial.finish()) return { search: trial, values };
  }
  return null;
}

/** The steps passed on the way to x, or none at all, if that satisfies the limits. @param {Program} program @param {Float64Array} x @param {number} step */
function towardsZero({ low, high, a, rowLow, rowHigh }, x, step) {
  const down = x.map((value) => Math.trunc(value / step + numbers.NEAR * Math.sign(value)) * step);
  const points = [down, new Float64Array(x.length)].map((one) => one.map((value, i) => Math.min(Math.max(value, low[i]), high[i])));
  return points.find((point) => withinRows(apply(a, point), rowLow, rowHigh)) ?? null;
}

/** To nine digits. @param {Float64Array} made @param {Float64Array} low @param {Float64Array} high */
function withinRows(made, low, high) {
  return made.every((value, i) => {
    const slack = 1e-9 * (1 + Math.abs(value));
    return value <= high[i] + slack && value >= low[i] - slack;
  });
}
