/** Turns in whole steps: round one bolt at a time and let the others make up for it. */
import { rounding as numbers } from "../numbers.js";
import { apply, pick, taken, where } from "./algebra.js";
import { solve } from "./quadratic.js";
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
  let now = wholeEnds;
  let x = first;
  for (let open = openIn(now, near); open.length; open = openIn(now, near)) {
    const distance = open.map((i) => Math.abs(x[i] / step - Math.round(x[i] / step)));
    const ready = open.filter((_, k) => distance[k] < numbers.NEAR);
    const found = fix(now, ready.length ? ready : [nearest(open, distance)], x, step);
    if (!found) return towardsZero(wholeEnds, first, step);
    ({ program: now, x } = found);
  }
  return now.low.map((value) => Math.round(value / step) * step);
}

/** @param {Program} program @param {number} near */
const openIn = ({ low, high }, near) => where(Array.from(low, (x, i) => high[i] - x > near));

/** The first of those whose distance is least. @param {number[]} open @param {number[]} distance */
function nearest(open, distance) {
  const told = distance.map((x) => rounded(x, numbers.DIGITS));
  return open[told.indexOf(Math.min(...told))];
}

/** The nearest whole number, halves towards zero. @param {number} part */
export const whole = (part) => Math.sign(part) * Math.ceil(Math.abs(part) - 0.5 - numbers.NEAR);

/** Fix the chosen unknowns at the nearer feasible step and solve for the rest. @param {Program} program @param {number[]} chosen @param {Float64Array} x @param {number} step */
function fix(program, chosen, x, step) {
  const parts = chosen.map((i) => x[i] / step);
  const nearer = parts.map(whole);
  const other = nearer.map((near, k) => (parts[k] > near ? near + 1 : near - 1));
  for (const candidate of [nearer, other]) {
    const [low, high] = [program.low.slice(), program.high.slice()];
    chosen.forEach((i, k) => (low[i] = high[i] = Math.min(Math.max(candidate[k] * step, program.low[i]), program.high[i])));
    const trial = { ...program, low, high };
    const found = solveFree(trial);
    if (found) return { program: trial, x: found };
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

/** Solve with the fixed unknowns taken out, so that the program stays small. @param {Program} program @returns {Float64Array | null} */
function solveFree({ h, f, low, high, a, rowLow, rowHigh }) {
  const isFixed = Array.from(low, (x, i) => high[i] - x <= 0);
  const free = where(isFixed.map((one) => !one));
  const x = low.map((value, i) => (isFixed[i] ? value : 0));
  const moved = apply(a, x);
  const slack = moved.map((value) => 1e-9 * (1 + Math.abs(value)));
  if (!free.length) return withinRows(moved, rowLow, rowHigh) ? x : null;
  const pulled = apply(h, x);
  const found = solve({
    h: pick(h, free, free),
    f: Float64Array.from(free, (i) => f[i] + pulled[i]),
    low: taken(low, free),
    high: taken(high, free),
    a: pick(a, [...Array(a.rows).keys()], free),
    rowLow: rowLow.map((value, i) => value - moved[i] - slack[i]),
    rowHigh: rowHigh.map((value, i) => value - moved[i] + slack[i]),
  });
  if (!found) return null;
  free.forEach((i, k) => (x[i] = found.x[k]));
  return x;
}
