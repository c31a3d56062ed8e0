/** Which bolts to turn for register: the least miss with as few bolts as the bars allow. */
import { n, t } from "../../../shared/language.js";
import { register_plan as numbers } from "../numbers.js";
import { apply, where } from "./algebra.js";
import { SIDES } from "./layout.js";
import { sayTurns } from "./limits.js";
import { solve } from "./quadratic.js";
import { RegisterProgram } from "./register_program.js";
import { roundToSteps } from "./rounding.js";
import { in48ths } from "./tension_plan.js";
import { TOO_COARSE, TOO_TIGHT, heldBolts } from "./tension_words.js";
import { fixed, rounded, short } from "./text.js";
import { move } from "./turning.js";

/**
 * @typedef {{bolts: number, marksMm: number, imageMm: number}} CurvePoint  rms misses before rounding
 * @typedef {{moving: boolean[], answer: import("./quadratic.js").Solution}} Trial
 *
 * @typedef {object} RegisterPlan
 * @property {Record<string, number>} turns48ths @property {"optimal" | "nothing" | "blocked"} status @property {string} message
 * @property {string[]} active @property {number} beforeMm rms at the marks @property {number} afterMm
 * @property {[number, number]} tensionChange lowest and highest over the image @property {string[]} loose @property {CurvePoint[]} curve
 */

/** @type {Omit<RegisterPlan, "status" | "message">} */
const NOTHING = { turns48ths: {}, active: [], beforeMm: 0, afterMm: 0, tensionChange: [0, 0], loose: [], curve: [] };

/**
 * Turns that bring the marks, and the image between them, closest to where they should be; whole
 * sides are dropped, then bolts, while the miss hardly grows.
 *
 * @param {import("./state.js").State} state @param {import("./marks.js").Mark[]} marks after what the press takes
 * @param {import("./register_program.js").RegisterAim} aim @param {import("./limits.js").Limits} limits
 * @param {number | null} [bolts] move this many instead
 * @returns {RegisterPlan}
 */
export function planRegister(state, marks, aim, limits, bolts = null) {
  const allowed = limits.moving(state.layout);
  if (!allowed.some(Boolean)) return { ...NOTHING, status: "blocked", message: t`No bolt can be turned: all are hidden, seized or broken.` };
  const built = new RegisterProgram(state, aim, limits, marks);
  const first = tryWith(built, allowed);
  if (!first) return { ...NOTHING, status: "blocked", message: TOO_TIGHT };
  const trials = thinOut(built, first);
  const curve = trials.map((trial) => {
    const [marksMm, imageMm] = missOf(built, trial);
    return { bolts: where(trial.moving).length, marksMm, imageMm };
  });
  return finish(built, choose(built, trials, bolts), curve);
}

/** @param {RegisterProgram} built @param {boolean[]} moving @returns {Trial | null} */
function tryWith(built, moving) {
  const answer = solve(built.program(moving).program);
  return answer && { moving, answer };
}

/** @param {boolean[]} moving @param {Float64Array} x */
function spread(moving, x) {
  const out = new Float64Array(moving.length);
  where(moving).forEach((i, k) => (out[i] = x[k]));
  return out;
}

/** @param {RegisterProgram} built @param {Trial} trial */
const missOf = (built, { moving, answer }) => built.rms(apply(built.perTurn, spread(moving, answer.x)));

/** Combined rms of marks and image, mm. @param {RegisterProgram} built @param {Trial} trial */
function scoreOf(built, trial) {
  const [marks, image] = missOf(built, trial);
  const { between } = built.aim;
  return Math.sqrt((marks ** 2 + between * image ** 2) / (1 + between));
}

/** Trials with fewer and fewer bolts: sides the error does not need, then the idlest bolts. @param {RegisterProgram} built @param {Trial} first */
function thinOut(built, first) {
  const { names } = built.state.layout;
  const enough = numbers.WORSE * scoreOf(built, first) + numbers.SLACK_MM;
  let now = first;
  const trials = [now];
  for (const side of sidesByEffort(names, first)) {
    const fewer = now.moving.map((moves, i) => moves && names[i][0] !== side);
    const count = where(fewer).length;
    if (!count || count === where(now.moving).length) continue;
    const trial = tryWith(built, fewer);
    if (trial && scoreOf(built, trial) <= enough) trials.push((now = trial));
  }
  while (where(now.moving).length > 1) {
    const trial = tryWith(built, withoutIdlest(now));
    if (!trial) break;
    trials.push((now = trial));
  }
  return trials;
}

/** @param {string[]} names @param {Trial} first */
function sidesByEffort(names, { moving, answer }) {
  const turns = spread(moving, answer.x);
  const effort = (/** @type {string} */ side) => rounded(names.reduce((sum, name, i) => sum + (name[0] === side ? Math.abs(turns[i]) : 0), 0), numbers.DIGITS);
  return SIDES.map((side) => ({ side, effort: effort(side) })).sort((a, b) => a.effort - b.effort).map(({ side }) => side);
}

/** @param {Trial} trial */
function withoutIdlest({ moving, answer }) {
  const at = where(moving);
  const size = at.map((_, k) => rounded(Math.abs(answer.x[k]), numbers.DIGITS));
  const order = at.map((_, k) => k).sort((a, b) => size[a] - size[b]);
  const idle = new Set(order.slice(0, Math.max(1, Math.floor(at.length / 12))).map((k) => at[k]));
  return moving.map((moves, i) => moves && !idle.has(i));
}

/** The fewest bolts that miss hardly more than all of them, or as many as asked for. @param {RegisterProgram} built @param {Trial[]} trials @param {number | null} bolts */
function choose(built, trials, bolts) {
  const least = (/** @type {Trial[]} */ some, /** @type {(trial: Trial) => number} */ of) =>
    some.reduce((best, trial) => (of(trial) < of(best) ? trial : best));
  const count = (/** @type {Trial} */ trial) => where(trial.moving).length;
  if (bolts !== null) return least(trials, (trial) => Math.abs(count(trial) - bolts));
  const scores = new Map(trials.map((trial) => [trial, scoreOf(built, trial)]));
  const enough = numbers.WORSE * Math.min(...scores.values()) + numbers.SLACK_MM;
  return least(trials.filter((trial) => (scores.get(trial) ?? Infinity) <= enough), count);
}

/** @param {RegisterProgram} built @param {Trial} chosen @param {CurvePoint[]} curve @returns {RegisterPlan} */
function finish(built, { moving, answer }, curve) {
  const { state, limits } = built;
  const { layout } = state;
  const x = roundToSteps(built.program(moving).program, state.bolt.stepTurns, answer.x);
  if (!x) return { ...NOTHING, status: "blocked", message: TOO_COARSE };
  const turns = spread(moving, x);
  const moved = apply(built.perTurn, turns);
  const [beforeMm] = built.rms(new Float64Array(layout.count));
  const [afterMm] = built.rms(moved);
  const count = where(turns).length;
  if (!count || afterMm > 0.97 * beforeMm) {
    return { ...NOTHING, status: "nothing", message: t`No turn of these bolts brings the marks closer.`, beforeMm, afterMm: beforeMm, curve };
  }
  const change = state.influence(built.image).flatMap((one) => [...apply(one, moved)]);
  const [was, left] = [fixed(beforeMm, 2), fixed(afterMm, 2)];
  return {
    turns48ths: in48ths(layout.names, turns),
    status: "optimal",
    message: n(count)`# bolt: from ${was} to about ${left} mm at the marks.|# bolts: from ${was} to about ${left} mm at the marks.`,
    active: activeIn(built, moving, answer),
    beforeMm,
    afterMm,
    tensionChange: [Math.min(...change), Math.max(...change)],
    loose: move(state, turns, limits.turnable(layout), limits.isBroken(layout)).loose,
    curve,
  };
}

/** Limits that shaped the plan, in words. @param {RegisterProgram} built @param {boolean[]} moving @param {import("./quadratic.js").Solution} answer */
function activeIn(built, moving, { boundActive, rowActive }) {
  const { limits, aim, state } = built;
  const { layout } = state;
  const words = [
    t`Neighbours may differ by ${sayTurns(limits.neighbourTurns)}.`,
    t`Tension may change by ${short(aim.tension_change_n_per_cm)} N/cm and stay in its band.`,
    t`With a stencil on the image may move by ${short(aim.move_mm)} mm.`,
  ];
  let from = 0;
  const said = built.program(moving).kept.flatMap((count, kind) => {
    const rows = rowActive.slice(from, (from += count));
    return rows.some(Boolean) ? [words[kind]] : [];
  });
  const names = layout.names.filter((_, i) => moving[i]);
  return [...heldBolts(names, boundActive, limits), ...said, ...limits.saidStill(layout)];
}
