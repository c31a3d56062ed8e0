/** Which bolts to turn, and by how much, to bring the readings to target. */
import { tension_plan as numbers } from "../numbers.js";
import { Matrix } from "./algebra.js";
import { follow, holdingStill, standing } from "./bar_moves.js";
import { PER_TURN } from "./bolts.js";
import { LOOSE_MM } from "./contact.js";
import { solve } from "./quadratic.js";
import { TOO_COARSE, TOO_TIGHT, activeIn, leaveMessage, refusal, roundMessage } from "./tension_words.js";
import { SURE, TensionProgram } from "./tension_program.js";
import { rounded } from "./text.js";
import { move } from "./turning.js";
import { draft, underCap } from "./under_cap.js";

/**
 * @typedef {import("./state.js").State} State
 * @typedef {import("./layout.js").Place} Place
 * @typedef {import("./tension_program.js").Aim} Aim
 * @typedef {import("./limits.js").Limits} Limits
 *
 * @typedef {{places: Place[], mean: Float64Array[], low: Float64Array[], high: Float64Array[]}} Predicted  in x and in y, 90 % bands
 *
 * @typedef {object} TensionPlan
 * @property {Record<string, number>} turns48ths bolt to 48ths of a turn in wrench order, zeros left out
 * @property {string} status reaches | towards | leave | blocked | refused
 * @property {string} message @property {string[]} active limits that shaped it, in words
 * @property {Predicted | null} predicted @property {Place | null} readNext @property {number} rounds to go, this one included
 * @property {string[]} loose expected before nipping up @property {string[]} nipFirst before turning
 * @property {Float64Array | null} unrounded @property {number | null} highest N/cm at the readings and over the image, mean + 1.64 sd
 */

/** @type {Omit<TensionPlan, "status" | "message">} */
const NOTHING = { turns48ths: {}, active: [], predicted: null, readNext: null, rounds: 0, loose: [], nipFirst: [], unrounded: null, highest: null };

/**
 * One round of turns towards an even target, within the limits, in the shop's step.
 *
 * @param {State} state after the latest readings @param {Aim} aim @param {Limits} limits
 * @param {import("./readings.js").Reading[]} [readings] the latest, for their places @param {boolean} [coated]
 * @returns {TensionPlan}
 */
export function planTension(state, aim, limits, readings = [], coated = false) {
  const refused = refusal(state, aim, limits, coated);
  if (refused) return { ...NOTHING, status: refused[0], message: refused[1] };
  const found = settleOn(state, aim, limits, distinct(readings));
  if (!found) return { ...NOTHING, status: "blocked", message: TOO_TIGHT };
  const whole = draft(found.built, found.answer);
  return whole ? told(underCap(whole)) : { ...NOTHING, status: "blocked", message: TOO_COARSE };
}

/** From left to right, then upward. @param {import("./readings.js").Reading[]} readings */
function distinct(readings) {
  const seen = new Map(readings.map(({ u, v }) => [`${u} ${v}`, /** @type {Place} */ ([u, v])]));
  return [...seen.values()].sort(([u, v], [p, q]) => u - p || v - q);
}

/** Solve; see which still bolts keep their bar under that plan; solve again until it agrees. @param {State} state @param {Aim} aim @param {Limits} limits @param {Place[]} read */
function settleOn(state, aim, limits, read) {
  const { layout } = state;
  const places = [...read, ...layout.grid(9)];
  const still = standing(state, limits);
  /** @type {{score: number, built: TensionProgram, answer: import("./quadratic.js").Solution} | null} */
  let best = null;
  let bearing = holdingStill(state, limits);
  for (let round = 0; round < 4; round++) {
    const built = new TensionProgram(state, aim, limits, places, read.length, follow(state, limits, bearing));
    const answer = solve(built.program);
    if (!answer) break;
    const rest = move(state, built.spread(answer.x), limits.turnable(layout), limits.isBroken(layout));
    const score = built.miss(rest.barMm.map((x, i) => x - state.barMm[i]));
    if (!best || score < best.score - 1e-9) best = { score, built, answer };
    const now = still.map((stays, i) => stays && rest.barMm[i] - state.drawMm[i] < LOOSE_MM);
    if (now.every((bears, i) => bears === bearing[i])) break;
    bearing = now;
  }
  return best;
}

/** Predict, and say it. @param {import("./under_cap.js").Draft} whole @returns {TensionPlan} */
function told(whole) {
  const { built, answer } = whole;
  const { state, limits, aim } = built;
  const { layout } = state;
  const { turns, later } = whole;
  const [turnable, broken] = [limits.turnable(layout), limits.isBroken(layout)];
  const rest = move(state, turns, turnable, broken);
  const before = built.miss(new Float64Array(layout.count));
  const after = built.miss(rest.barMm.map((at, i) => at - state.barMm[i]));
  const within = farthest(built, built.now, built.wanted) <= aim.tolerance;
  if (within || turns.every((t) => !t) || after > numbers.WORTH * before) return leave(built, within);
  const predicted = predict(later, built);
  // bolts that wait in the first round have theirs still to come
  const waiting = turnable.some((can, i) => can && !built.moving[i]);
  const reaches = !waiting && farthest(built, predicted.mean, [aim.target, aim.target]) <= aim.tolerance;
  const rounds = reaches ? 1 : Math.max(2, Math.max(1, roundsOf(built)) + Number(waiting));
  return {
    turns48ths: in48ths(layout.names, turns),
    status: reaches ? "reaches" : "towards",
    message: roundMessage(built, reaches, rounds),
    active: activeIn(built, answer),
    predicted,
    readNext: readNext(later, built),
    rounds,
    loose: rest.loose,
    nipFirst: layout.names.filter((_, i) => state.barMm[i] - state.drawMm[i] > LOOSE_MM && turnable[i]),
    unrounded: built.spread(answer.x),
    highest: Math.max(...whole.most.flatMap((one, axis) => (built.known[axis] ? Array.from(one) : []))),
  };
}

/** @param {string[]} names @param {Float64Array} turns @returns {Record<string, number>} */
export const in48ths = (names, turns) => Object.fromEntries(names.flatMap((name, i) => (turns[i] ? [[name, Math.round(turns[i] * PER_TURN)]] : [])));

/** Largest distance from what is wanted, in directions that were read. @param {TensionProgram} built @param {Float64Array[]} tension @param {number[]} wanted */
const farthest = ({ known }, tension, wanted) =>
  Math.max(...tension.flatMap((one, axis) => (known[axis] ? Array.from(one, (x) => Math.abs(x - wanted[axis])) : [])));

/** Nothing to turn: in tolerance, or nothing these bolts could do better. @param {TensionProgram} built @param {boolean} within @returns {TensionPlan} */
function leave(built, within) {
  const { state } = built;
  return { ...NOTHING, status: "leave", message: leaveMessage(within), predicted: predict(state, built), readNext: readNext(state, built) };
}

/** Readings expected at the reading places, or over the grid if there are none. @param {State} state @param {TensionProgram} built @returns {Predicted} */
function predict(state, { places: all, read }) {
  const places = read ? all.slice(0, read) : all;
  const mean = state.tension(places);
  const half = state.tensionSd(places).map((one) => one.map((sd) => SURE * Math.hypot(sd, state.readingSd)));
  const [low, high] = [-1, 1].map((sign) => mean.map((one, axis) => one.map((x, i) => x + sign * half[axis][i])));
  return { places, mean, low, high };
}

/** Place between readings with the largest expected squared miss, both directions together. @param {State} state @param {TensionProgram} built @returns {Place} */
function readNext(state, { places, read, aim }) {
  const grid = places.slice(read);
  const sd = state.tensionSd(grid);
  const tension = state.tension(grid);
  const miss = grid.map((_, i) => rounded([0, 1].reduce((sum, axis) => sum + (tension[axis][i] - aim.target) ** 2 + sd[axis][i] ** 2, 0), 6));
  return grid[miss.indexOf(Math.max(...miss))];
}

/** Rounds to target if only the turn limits stood in the way. @param {TensionProgram} built */
function roundsOf({ program, limits, state }) {
  const wide = new Float64Array(program.f.length).fill(50);
  const none = new Float64Array(0);
  const answer = solve({ ...program, low: wide.map((x) => -x), high: wide, a: new Matrix(0, wide.length), rowLow: none, rowHigh: none });
  if (!answer) return 1;
  const [up, down] = [Math.max(...answer.x, 0), Math.max(...answer.x.map((x) => -x), 0)];
  const loosen = limits.loosenTurns * state.caution;
  return Math.ceil(Math.max(up / (limits.turns * state.caution), loosen ? down / loosen : 0) - 0.1);
}
