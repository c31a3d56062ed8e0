/** Turns held back until the tension they leave, with its doubt, stays under the mesh's cap. */
import { under_cap as numbers } from "../numbers.js";
import { apply } from "./algebra.js";
import { neighbourRows } from "./limits.js";
import { solve } from "./quadratic.js";
import { roundToSteps } from "./rounding.js";
import { surely } from "./tension_program.js";
import { afterTurns } from "./turning.js";

/**
 * @typedef {import("./tension_program.js").TensionProgram} TensionProgram
 * @typedef {import("./quadratic.js").Solution} Solution
 * @typedef {{built: TensionProgram, answer: Solution, turns: Float64Array, later: import("./state.js").State, most: Float64Array[]}} Draft  in whole steps, the estimate after them, and N/cm that it does not pass at the places, at 95 %
 */

/** The solution in whole steps; null if no whole steps keep the limits. @param {TensionProgram} built @param {Solution} answer @param {import("./quadratic.js").Program} [program] which was solved */
export function draft(built, answer, program = built.program) {
  const x = roundToSteps(program, built.state.bolt.stepTurns, answer.x);
  return x && withTurns(built, answer, built.spread(x));
}

/**
 * The same plan, or a smaller one whose mean + 1.64 sd nowhere passes the higher of the cap and of
 * what it is if nothing is turned: what turning, rounding and loose bolts add to the doubt is taken
 * off the room and the plan made again; where that does not help the turns are scaled down.
 *
 * @param {Draft} first
 */
export function underCap(first) {
  const { cap } = first.built.limits;
  if (cap === null || below(first, () => cap)) return first;
  const { built } = first;
  const idle = withTurns(built, first.answer, new Float64Array(first.turns.length)).most;
  const ceiling = idle.map((one) => one.map((x) => Math.max(cap, x)));
  const margin = idle.map((one) => new Float64Array(one.length));
  let found = first;
  for (let round = 0; round < numbers.TRIES; round++) {
    const expected = built.expected(found.turns);
    found.most.forEach((one, axis) => one.forEach((x, i) => (margin[axis][i] = Math.max(margin[axis][i], x - expected[axis][i]))));
    const program = built.under(ceiling.map((one, axis) => one.map((x, i) => x - margin[axis][i])));
    const answer = solve(program);
    const again = answer && draft(built, answer, program);
    if (!again) break;
    found = again;
    if (below(found, (axis, i) => ceiling[axis][i])) return found;
  }
  return scaledDown(found, ceiling);
}

/** @param {TensionProgram} built @param {Solution} answer @param {Float64Array} turns @returns {Draft} */
function withTurns(built, answer, turns) {
  const { state, limits } = built;
  const later = afterTurns(state, turns, limits.turnable(state.layout), limits.isBroken(state.layout));
  return { built, answer, turns, later, most: surely(later, built.places) };
}

/** @param {Draft} one @param {(axis: number, place: number) => number} ceiling */
const below = (one, ceiling) =>
  one.most.every((values, axis) => !one.built.known[axis] || values.every((x, i) => x <= ceiling(axis, i) + numbers.NEAR_N_PER_CM));

/** @param {Draft} found @param {Float64Array[]} ceiling */
function scaledDown({ built, answer, turns }, ceiling) {
  const { state, limits, moving } = built;
  const step = state.bolt.stepTurns;
  const { rows } = neighbourRows(state.layout, moving);
  let one = withTurns(built, answer, turns);
  for (const share of numbers.SHARES) {
    one = withTurns(built, answer, turns.map((t) => Math.trunc((t * share) / step + 1e-6 * Math.sign(t)) * step));
    const close = apply(rows, one.turns).every((apart) => Math.abs(apart) <= limits.neighbourTurns + 1e-9);
    if (close && below(one, (axis, i) => ceiling[axis][i])) break;
  }
  return one;
}
