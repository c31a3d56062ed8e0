/** Bolts pull and never push: where the bars come to rest, which bolts hang loose, nipping up. */
import { contact as numbers } from "../numbers.js";
import { apply, pick, solveFor, taken, where } from "./algebra.js";

export const { LOOSE_MM } = numbers;

/**
 * Bars at rest on one-way bolts: minimises 1/2 w'Sw + p'w subject to w >= draw.
 *
 * @param {import("./algebra.js").Matrix} stiffness (bolts, bolts) N/mm, symmetric
 * @param {ArrayLike<number>} pull N, inward force at w = 0
 * @param {ArrayLike<number>} draw where each bolt stops its bar, mm outward
 * @param {string[]} names
 * @param {ArrayLike<boolean>} holds a broken bolt does not
 * @returns {{barMm: Float64Array, loose: string[]}}
 */
export function settle(stiffness, pull, draw, names, holds) {
  const n = draw.length;
  const s = stiffness.copy();
  for (let i = 0; i < n; i++) s.data[i * (n + 1)] += numbers.GROUND_N_PER_MM;
  const lift = lifted(s, apply(s, draw).map((force, i) => pull[i] + force), holds);
  const barMm = lift.map((gap, i) => gap + draw[i]);
  const loose = names.filter((_, i) => holds[i] && barMm[i] - draw[i] > LOOSE_MM);
  return { barMm, loose };
}

/** How far the bar stands beyond each draw, by Lawson and Hanson's active set. @param {import("./algebra.js").Matrix} s @param {Float64Array} g @param {ArrayLike<boolean>} holds */
function lifted(s, g, holds) {
  const tolerance = numbers.FORCE_TOLERANCE * g.reduce((most, x) => Math.max(most, Math.abs(x)), 1);
  const off = Array.from(g, (_, i) => !holds[i]);
  let y = freeOf(s, g, off);
  for (let round = 0; round < 10 * g.length; round++) {
    const force = apply(s, y);
    const push = force.map((value, i) => (off[i] ? -Infinity : -(value + g[i])));
    const worst = push.reduce((best, value, i) => (value > push[best] ? i : best), 0);
    if (push[worst] <= tolerance) return y;
    off[worst] = true;
    y = backToFeasible(s, g, y, off, holds);
  }
  return new Float64Array(g.length).fill(NaN);
}

/** Solve on the bolts in `off`; the others bear. @param {import("./algebra.js").Matrix} s @param {Float64Array} g @param {boolean[]} off */
function freeOf(s, g, off) {
  const at = where(off);
  const out = new Float64Array(g.length);
  const found = at.length ? solveFor(pick(s, at, at), taken(g, at).map((x) => -x)) : [];
  at.forEach((i, k) => (out[i] = found[k]));
  return out;
}

/** Those whose bar would pass inside its draw bear again. @param {import("./algebra.js").Matrix} s @param {Float64Array} g @param {Float64Array} from @param {boolean[]} off @param {ArrayLike<boolean>} holds */
function backToFeasible(s, g, from, off, holds) {
  let y = from;
  for (;;) {
    const goal = freeOf(s, g, off);
    const stop = where(off).filter((i) => holds[i] && goal[i] <= 0);
    if (!stop.length) return goal;
    const share = Math.min(1, ...stop.map((i) => y[i] / Math.max(y[i] - goal[i], 1e-300)));
    y = y.map((value, i) => value + share * (goal[i] - value));
    for (const i of stop) if (y[i] <= 1e-12) off[i] = false;
    y = y.map((value, i) => (off[i] ? value : 0));
  }
}

/** Draws after nipping up: a loose bolt that can be turned is taken up until it bears. @param {Float64Array} draw @param {Float64Array} stands @param {ArrayLike<boolean>} turnable */
export const nipUp = (draw, stands, turnable) => draw.map((at, i) => (turnable[i] ? Math.max(at, stands[i]) : at));
