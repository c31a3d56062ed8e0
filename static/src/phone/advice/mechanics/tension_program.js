/** The quadratic program behind a turn plan for tension. */
import { t } from "../../../shared/language.js";
import { tension_program as numbers } from "../numbers.js";
import { Matrix, apply, carried, pick, plus, product, transpose, where } from "./algebra.js";
import { waviness } from "./bar_moves.js";
import { number } from "./faults.js";
import { OUTWARD, SIDES } from "./layout.js";
import { neighbourRows } from "./limits.js";

export const { SURE } = numbers;

/**
 * @typedef {import("./state.js").State} State
 * @typedef {import("./layout.js").Place} Place
 * @typedef {{target: number, tolerance: number}} Aim  N/cm
 */

/** @param {number} target N/cm @param {number} [tolerance] @returns {Aim} */
export function aimAt(target, tolerance = numbers.Aim.tolerance_n_per_cm) {
  return {
    target: number("target_n_per_cm", target, 1, 150, t`Enter the target in N/cm`),
    tolerance: number("tolerance_n_per_cm", tolerance, 0.1, 20, t`Enter the tolerance in N/cm`),
  };
}

/** Directions whose level has been read. @param {State} state */
export const knownIn = (state) => state.tensionSd([[0.5, 0.5]]).map(([sd]) => sd < numbers.UNKNOWN_N_PER_CM);

/** N/cm that the tension at places does not pass, with 95 % confidence. @param {State} state @param {Place[]} places */
export function surely(state, places) {
  const sd = state.tensionSd(places);
  return state.tension(places).map((one, axis) => one.map((x, i) => x + SURE * sd[axis][i]));
}

/** The program in the turns of the bolts that move, with what is needed to read its answer. */
export class TensionProgram {
  /**
   * @param {State} state @param {Aim} aim @param {import("./limits.js").Limits} limits
   * @param {Place[]} places reading places first, then the image grid @param {number} read how many are readings
   * @param {Matrix} perTurn bar movement per turn, mm
   */
  constructor(state, aim, limits, places, read, perTurn) {
    this.state = state;
    this.aim = aim;
    this.limits = limits;
    this.places = places;
    this.read = read;
    this.perTurn = perTurn;
    this.moving = limits.moving(state.layout);
    this.at = where(this.moving);
    this.known = knownIn(state);
    this.now = state.tension(places);
    /** N/cm not passed today, at 95 %. */
    this.sure = surely(state, places);
    this.influence = state.influence(places);
    /** What to leave behind: the target plus what the next round's rest takes. */
    this.wanted = [0, 1].map((axis) => aim.target * (1 + Math.min(Math.max(state.mean[state.driftAt + axis], 0), 0.1)));
    const grid = places.length - read;
    /** Readings together 1, the image area together `between`. */
    this.weight = places.map((_, i) => (i < read ? 1 / read : numbers.Aim.between / grid));
    this.neighbours = neighbourRows(state.layout, this.moving);
    /** Change of tension per turn of every bolt, in x and in y. */
    this.change = this.influence.map((one) => carried(one, perTurn));
    /** The same, of those that move. */
    this.movable = this.change.map((one) => pick(one, [...places.keys()], this.at));
    const { cap } = limits;
    /** A cap already passed may not be added to. */
    this.program = { ...this.#goal(), ...this.#rows(this.sure.map((one) => one.map((x) => (cap === null ? Infinity : Math.max(cap - x, 0))))) };
  }

  /** The program where mean + 1.64 sd, with today's doubt, must not pass a ceiling. @param {Float64Array[]} ceiling N/cm at the places, in x and in y */
  under(ceiling) {
    return { ...this.program, ...this.#rows(ceiling.map((one, axis) => one.map((x, i) => x - this.sure[axis][i]))) };
  }

  /** N/cm not passed after turns of all bolts at 95 %, with today's doubt. @param {Float64Array} turns */
  expected(turns) {
    const moved = apply(this.perTurn, turns);
    return this.sure.map((one, axis) => {
      const change = apply(this.influence[axis], moved);
      return one.map((x, i) => x + change[i]);
    });
  }

  /** Turns of the moving bolts as turns of all. @param {Float64Array} x */
  spread(x) {
    const out = new Float64Array(this.moving.length);
    this.at.forEach((i, k) => (out[i] = x[k]));
    return out;
  }

  /** Weighted mean square miss after bars moved, (N/cm)^2. @param {Float64Array} movedMm */
  miss(movedMm) {
    let sum = 0;
    this.influence.forEach((one, axis) => {
      if (!this.known[axis]) return;
      const change = apply(one, movedMm);
      change.forEach((x, i) => (sum += this.weight[i] * (this.now[axis][i] + x - this.wanted[axis]) ** 2));
    });
    return sum;
  }

  /** What is to be least, and the bounds. */
  #goal() {
    const { at, state, limits } = this;
    let h = pick(waviness(state, this.perTurn), at, at);
    h = new Matrix(h.rows, h.cols, h.data.map((x) => numbers.Aim.bending * x));
    const f = new Float64Array(at.length);
    this.movable.forEach((one, axis) => {
      if (!this.known[axis]) return;
      const weighted = new Matrix(one.rows, one.cols, one.data.map((x, i) => x * this.weight[Math.floor(i / one.cols)]));
      h = plus(h, product(transpose(weighted), one));
      const gap = this.now[axis].map((x) => x - this.wanted[axis]);
      apply(transpose(weighted), gap).forEach((x, i) => (f[i] += x));
    });
    const effort = this.#effort();
    at.forEach((bolt, i) => (h.row(i)[i] += numbers.Aim.effort * effort[bolt]));
    const low = new Float64Array(at.length).fill(-limits.loosenTurns * state.caution);
    const high = new Float64Array(at.length).fill(limits.turns * state.caution);
    return { h, f, low, high };
  }

  /** Squared tension per turn of a whole side, shared among its bolts. */
  #effort() {
    const { layout, strip, bolt } = this.state;
    const out = new Float64Array(layout.count);
    for (const side of SIDES) {
      const at = layout.columns(side);
      const axis = OUTWARD[side][1];
      const perTurn = (strip.mesh.stiffness[axis][axis] * bolt.pitchMm) / layout.span(side);
      for (const i of at) out[i] = perTurn ** 2 / at.length;
    }
    return out;
  }

  /** Neighbours, then the cap where it may be reached. @param {Float64Array[]} room N/cm by which the tension may grow */
  #rows(room) {
    const { limits, neighbours, at } = this;
    const apart = neighbours.pairs.map(() => limits.neighbourTurns);
    const pairs = pick(neighbours.rows, [...neighbours.pairs.keys()], at);
    const near = this.#near(room);
    const a = new Matrix(apart.length + near.length, at.length);
    a.data.set(pairs.data);
    near.forEach(({ place, axis }, i) => a.row(apart.length + i).set(this.movable[axis].row(place)));
    const rowLow = Float64Array.from([...apart.map((x) => -x), ...near.map(() => -Infinity)]);
    const rowHigh = Float64Array.from([...apart, ...near.map(({ place, axis }) => room[axis][place])]);
    return { a, rowLow, rowHigh };
  }

  /** Places and directions where turns could use up the room. @param {Float64Array[]} room */
  #near(room) {
    const reach = this.change.map((one) => this.places.map((_, place) => this.limits.turns * one.row(place).reduce((sum, x) => sum + Math.abs(x), 0)));
    return this.places.flatMap((_, place) => [0, 1].flatMap((axis) => (this.known[axis] && reach[axis][place] > room[axis][place] ? [{ place, axis }] : [])));
  }
}
