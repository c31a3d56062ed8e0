/** Corners that have climbed above the rest: which end bolts to ease, and how far. */
import { said, t } from "../../../shared/language.js";
import { corners as numbers } from "../numbers.js";
import { Matrix, apply, carried, diagonal, fromRows, pick, plus, product, transpose, where } from "./algebra.js";
import { follow, holdingStill } from "./bar_moves.js";
import { PER_TURN } from "./bolts.js";
import { Limits } from "./limits.js";
import { solve } from "./quadratic.js";
import { roundToSteps } from "./rounding.js";
import { knownIn, surely } from "./tension_program.js";
import { fixed } from "./text.js";

/**
 * @typedef {import("./state.js").State} State
 * @typedef {{corner: string, axis: number, above: number}} Tight  0 along A, 1 across A; N/cm above the rest
 * @typedef {{turns48ths: Record<string, number>, status: "ease" | "leave" | "blocked", message: string, tight: Tight[]}} Easing
 */

/**
 * Which end bolts to ease where a corner of the image is tighter than its mean by more than the
 * tolerance, or may pass the cap. All other bolts hold.
 *
 * @param {State} state @param {import("./tension_program.js").Aim} aim @param {Limits} limits
 * @returns {Easing}
 */
export function easeCorners(state, aim, limits) {
  const at = state.layout.grid(2);
  const known = knownIn(state);
  if (!known.some(Boolean)) return { turns48ths: {}, status: "blocked", message: t`Read the middle and the corners first.`, tight: [] };
  const level = state.level(state.layout.grid(9));
  const above = state.tension(at).map((one, axis) => one.map((x) => x - level[axis]));
  const most = surely(state, at);
  const { cap } = limits;
  const isTight = above.map((one, axis) => Array.from(one, (x, i) => known[axis] && (x > aim.tolerance || (cap !== null && most[axis][i] > cap && x > 0))));
  const tight = at.flatMap((_, i) => [0, 1].flatMap((axis) => (isTight[axis][i] ? [{ corner: numbers.CORNERS[i], axis, above: above[axis][i] }] : [])));
  if (!tight.length) return { turns48ths: {}, status: "leave", message: t`No corner is tighter than the rest: leave them.`, tight };
  const turns48ths = turnsFor(state, limits, at, above.map((one, axis) => one.map((x, i) => (isTight[axis][i] ? x : 0))), known);
  if (!Object.keys(turns48ths).length) return { turns48ths, status: "blocked", message: sayTight(tight, t`No end bolt can ease it.`), tight };
  return { turns48ths, status: "ease", message: sayTight(tight, t`Ease the end bolts shown.`), tight };
}

/** Turns that take off what is above. @param {State} state @param {Limits} limits @param {import("./layout.js").Place[]} at @param {Float64Array[]} above @param {boolean[]} known */
function turnsFor(state, limits, at, above, known) {
  const { layout } = state;
  const isEnd = (/** @type {string} */ name) => layout.ends.has(name) && layout.bolts[/** @type {"A"} */ (name[0])].length > 2;
  const hold = new Limits(
    { turns: limits.turns, loosen_turns: limits.loosenTurns, neighbour_turns: limits.neighbourTurns, cap_n_per_cm: /** @type {any} */ (limits.cap) },
    { hidden: [...limits.hidden], seized: [...limits.seized, ...layout.names.filter((name) => !isEnd(name))], broken: [...limits.broken] },
  );
  const moving = where(hold.moving(layout));
  if (!moving.length) return {};
  const perTurn = follow(state, hold, holdingStill(state, hold));
  const all = [...at.keys()];
  const parts = state.influence(at).map((one) => pick(carried(one, perTurn), all, moving));
  const rows = parts.flatMap((one, axis) => (known[axis] ? all.map((i) => one.row(i)) : []));
  const gaps = above.flatMap((one, axis) => (known[axis] ? [...one] : []));
  const m = fromRows(rows, moving.length);
  const least = -Math.min(limits.loosenTurns, limits.neighbourTurns) * state.caution;
  const none = new Float64Array(0);
  const n = moving.length;
  const program = {
    h: plus(product(transpose(m), m), diagonal(new Float64Array(n).fill(numbers.EFFORT))),
    f: apply(transpose(m), gaps),
    low: new Float64Array(n).fill(least),
    high: new Float64Array(n),
    a: new Matrix(0, n), rowLow: none, rowHigh: none,
  };
  const answer = solve(program);
  const x = answer && roundToSteps(program, state.bolt.stepTurns, answer.x);
  return Object.fromEntries([...(x ?? [])].flatMap((turn, i) => (turn ? [[layout.names[moving[i]], Math.round(turn * PER_TURN)]] : [])));
}

/** @param {Tight[]} tight @param {string} then */
const sayTight = (tight, then) =>
  [...tight.map(({ corner, axis, above }) => t`Corner ${corner} is ${fixed(above, 1)} N/cm above the rest ${said(numbers.WAYS[axis])}.`), then].join(" ");
