/** How the bars follow a set of turns when some bolts stay: those that stay may lose their bar. */
import { Matrix, pick, product, scaled, solve, transpose, where } from "./algebra.js";
import { LOOSE_MM } from "./contact.js";
import { OUTWARD, SIDES } from "./layout.js";
import { held } from "./turning.js";

/**
 * @typedef {import("./state.js").State} State
 * @typedef {import("./limits.js").Limits} Limits
 */

/** Bolts that hold but do not move this round. @param {State} state @param {Limits} limits */
export function standing({ layout }, limits) {
  const [moving, broken] = [limits.moving(layout), limits.isBroken(layout)];
  return moving.map((moves, i) => !moves && !broken[i]);
}

/** Those that bear on their bar now. @param {State} state @param {Limits} limits */
export const holdingStill = (state, limits) =>
  standing(state, limits).map((stays, i) => stays && state.barMm[i] - state.drawMm[i] < LOOSE_MM);

/**
 * Bar movement per turn, (bolts, bolts), mm. Turned bolts carry their bar along, bolts in `bearing`
 * keep theirs; anywhere else the bar takes the shape of least energy.
 *
 * @param {State} state @param {Limits} limits @param {boolean[]} bearing
 */
export function follow(state, limits, bearing) {
  const { layout } = state;
  const out = new Matrix(layout.count, layout.count);
  const moving = limits.moving(layout);
  const moved = where(moving);
  for (const i of moved) out.row(i)[i] = state.bolt.pitchMm;
  const free = where(moving.map((moves, i) => !moves && !bearing[i]));
  if (free.length) {
    const k = held(state);
    const carried = solve(pick(k, free, free), pick(k, free, moved));
    free.forEach((i, m) => moved.forEach((j, n) => (out.row(i)[j] = -carried.at(m, n) * state.bolt.pitchMm)));
  }
  return out;
}

/**
 * (bolts, bolts) penalty on bar bending, in squared tension misses (or squared mm), so that it does
 * not depend on the bar's section.
 *
 * @param {State} state @param {Matrix} perTurn @param {boolean} [inMm]
 */
export function waviness(state, perTurn, inMm = false) {
  const { layout, strip } = state;
  const total = new Matrix(layout.count, layout.count);
  for (const side of SIDES) {
    const at = layout.columns(side);
    const axis = OUTWARD[side][1];
    const perMm = inMm ? 1 : (strip.mesh.stiffness[axis][axis] * state.factors[axis]) / layout.span(side);
    const factor = ((2 * layout.length(side) ** 3) / Math.PI ** 4 / layout.eiNMm2) * perMm ** 2;
    for (const i of at) for (const j of at) total.row(i)[j] = factor * strip.bending.at(i, j);
  }
  return product(transpose(perTurn), product(total, perTurn));
}
