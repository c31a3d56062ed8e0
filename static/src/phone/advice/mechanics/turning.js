/** What a round of turns and nipping up does to the state. */
import { t } from "../../../shared/language.js";
import { state as numbers } from "../numbers.js";
import { Matrix, apply, pick, plus, product, sandwich, scaled, solveFor, transpose, where } from "./algebra.js";
import { nipUp, settle } from "./contact.js";
import { InputFault } from "./faults.js";

/** @typedef {import("./state.js").State} State */

const { DRIFT, FARTHEST_MM, HIGHEST_N_PER_CM } = numbers;

/** Where the bars rest after turns, before nipping up. @param {State} state @param {Float64Array} turns @param {boolean[]} turnable @param {boolean[]} broken */
export function move(state, turns, turnable, broken) {
  const { strip, layout, barMm } = state;
  const pressed = apply(strip.spring, barMm);
  const pull = strip.pull((places) => state.tension(places)).map((force, i) => force - pressed[i]);
  const rest = settle(plus(strip.bending, strip.spring), pull, drawn(state, turns, turnable), layout.names, broken.map((one) => !one));
  if (!rest.barMm.every(Number.isFinite)) throw new InputFault("bolts", "stalled", t`The entries of this screen contradict each other: put right or undo the wrong ones.`);
  return rest;
}

/** Draws after taking up what hangs loose, and the turns. @param {State} state @param {Float64Array} turns @param {boolean[]} turnable */
const drawn = (state, turns, turnable) =>
  nipUp(state.drawMm, state.barMm, turnable).map((draw, i) => inReach(draw + turns[i] * state.bolt.pitchMm));

/** @param {number} mm */
const inReach = (mm) => within(mm, -FARTHEST_MM, FARTHEST_MM);

/** @param {number} x @param {number} low @param {number} high */
const within = (x, low, high) => Math.min(Math.max(x, low), high);

/**
 * @param {State} state @param {Float64Array} turns @param {boolean[]} turnable @param {boolean[]} broken
 * @param {Float64Array | null} [nipped] turns by which loose bolts were taken up, if counted
 */
export function afterTurns(state, turns, turnable, broken, nipped = null) {
  const pulled = drawn(state, turns, turnable).map((draw, i) => inReach(draw + (nipped ? nipped[i] * state.bolt.pitchMm : 0)));
  const barMm = (nipped ? onBolts(state, pulled, turnable) : move(state, turns, turnable, broken).barMm).map(inReach);
  const moved = state.with({ barMm, drawMm: nipUp(pulled, barMm, turnable) });
  return letTimePass(moved, state, turns);
}

/** Bars that rest on every bolt in `bears`; elsewhere of least energy, never inside a bolt. @param {State} state @param {Float64Array} pulled @param {boolean[]} bears */
function onBolts(state, pulled, bears) {
  const bar = pulled.slice();
  const off = where(bears.map((one) => !one));
  if (!off.length) return bar;
  const on = where(bears);
  const k = held(state);
  const pushed = apply(pick(k, off, on), Float64Array.from(on, (i) => pulled[i] - state.barMm[i]));
  const back = solveFor(pick(k, off, off), pushed);
  off.forEach((i, m) => (bar[i] = Math.max(state.barMm[i] - back[m], pulled[i])));
  return bar;
}

/** Bending and mesh together, with a breath of a spring. @param {State} state */
export function held({ strip }) {
  const k = plus(strip.bending, strip.spring);
  for (let i = 0; i < k.rows; i++) k.data[i * (k.rows + 1)] += 1e-5;
  return k;
}

/** Relaxation, wrench error and model error of one round added. @param {State} moved @param {State} before @param {Float64Array} turns */
function letTimePass(moved, before, turns) {
  const { doubt, basis, layout } = before;
  const { size } = basis;
  const grid = layout.grid(7);
  const level = moved.level(grid);
  const was = before.level(grid);
  const n = before.mean.length;
  const f = new Matrix(n, n);
  const noise = wrench(before, grid, turns);
  for (let i = 0; i < n; i++) f.data[i * (n + 1)] = 1;
  const mean = moved.mean.slice();
  for (const axis of [0, 1]) {
    const loses = within(level[axis], -HIGHEST_N_PER_CM, HIGHEST_N_PER_CM);
    f.row(axis * size)[before.driftAt + axis] = -loses;
    mean[axis * size] -= loses * within(mean[before.driftAt + axis], DRIFT[0], DRIFT[1]);
    const scale = doubt.restless + doubt.model * Math.abs(level[axis] - was[axis]);
    basis.waves.forEach(([j, k], i) => (noise.row(axis * size + i)[axis * size + i] += (scale * (j + k > 0 ? basis.sd[i] : basis.slopeSd)) ** 2));
    noise.row(axis * size)[axis * size] += (doubt.level * level[axis]) ** 2;
    noise.row(before.factorAt + axis)[before.factorAt + axis] += doubt.factor_walk ** 2;
  }
  return moved.with({ mean, covariance: plus(sandwich(f, moved.covariance), noise), rounds: before.rounds + 1 });
}

/** Covariance that turning errors leave in the coefficients. @param {State} state @param {import("./layout.js").Place[]} grid @param {Float64Array} turns */
function wrench(state, grid, turns) {
  const spread = turns.map((t) => (state.doubt.wrench * Math.abs(t) * state.bolt.pitchMm) ** 2);
  return projected(state, grid, spread);
}

/** Covariance in the coefficients of bars each off by a variance, mm2. @param {State} state @param {import("./layout.js").Place[]} grid @param {Float64Array} variance */
export function projected(state, grid, variance) {
  const { basis } = state;
  const stacked = new Matrix(state.mean.length, state.layout.count);
  state.strip.tension(grid).forEach((one, axis) => {
    const part = scaled(basis.project(grid, one, axis), state.factors[axis]);
    stacked.data.set(part.data, axis * basis.size * stacked.cols);
  });
  const weighted = new Matrix(stacked.rows, stacked.cols, stacked.data.map((x, i) => x * variance[i % stacked.cols]));
  return product(weighted, transpose(stacked));
}
