/** The quadratic program behind a turn plan for register. */
import { t } from "../../../shared/language.js";
import { register_program as numbers } from "../numbers.js";
import { Matrix, apply, carried, pick, plus, product, scaled, taken, transpose, where } from "./algebra.js";
import { follow, standing, waviness } from "./bar_moves.js";
import { number } from "./faults.js";
import { neighbourRows } from "./limits.js";
import { expectedError } from "./misfit.js";

/**
 * @typedef {import("./marks.js").Mark} Mark
 * @typedef {import("./layout.js").Place} Place
 * @typedef {typeof numbers.RegisterAim & {band: [number, number] | null}} RegisterAim  `band` of the screen's tension, N/cm
 */

/** @param {Partial<RegisterAim>} told @returns {RegisterAim} */
export function registerAim(told) {
  const own = { ...numbers.RegisterAim, band: null, ...told };
  number("tolerance_mm", own.tolerance_mm, 0.005, 10, t`Enter the register tolerance in mm`);
  number("tension_change_n_per_cm", own.tension_change_n_per_cm, 0.1, 30, t`Enter N/cm`);
  number("move_mm", own.move_mm, 0.01, 20, t`Enter the most the image may move, in mm`);
  number("factor", own.factor, 0.1, 3, t`Enter the register factor`);
  return own;
}

/** Marks and image towards zero error, in the turns of any of the bolts. */
export class RegisterProgram {
  /** @param {import("./state.js").State} state @param {RegisterAim} aim @param {import("./limits.js").Limits} limits @param {Mark[]} marks */
  constructor(state, aim, limits, marks) {
    this.state = state;
    this.aim = aim;
    this.limits = limits;
    this.marks = marks;
    const { layout } = state;
    this.image = layout.grid(aim.grid);
    const places = [...marks.map(({ u, v }) => /** @type {Place} */ ([u, v])), ...this.image];
    this.error = expectedError(layout, marks, places);
    this.perTurn = follow(state, limits, standing(state, limits));
    this.displacement = state.strip.displacement(places).map((one) => scaled(one, aim.factor));
    /** The marks together 1, the image together `between`. */
    this.weight = places.map((_, i) => (i < marks.length ? 1 / marks.length : aim.between / this.image.length));
    const m = this.displacement.map((one) => carried(one, this.perTurn));
    this.full = { ...this.#objective(m), ...this.#rows(m) };
  }

  /** Root mean square error, mm, at the marks (as measured) and over the image (expected). @param {Float64Array} movedMm */
  rms(movedMm) {
    const n = this.marks.length;
    const move = this.displacement.map((one) => apply(one, movedMm));
    const measured = this.marks.map(({ dx, dy }, i) => (dx + move[0][i]) ** 2 + (dy + move[1][i]) ** 2);
    const image = this.image.map((_, i) => (this.error[0][n + i] + move[0][n + i]) ** 2 + (this.error[1][n + i] + move[1][n + i]) ** 2);
    return [measured, image].map((squares) => Math.sqrt(squares.reduce((sum, x) => sum + x, 0) / squares.length));
  }

  /** @param {Matrix[]} m */
  #objective(m) {
    const { layout, bolt } = this.state;
    let h = scaled(waviness(this.state, this.perTurn, true), this.aim.bending);
    const f = new Float64Array(layout.count);
    m.forEach((one, axis) => {
      const weighted = transpose(new Matrix(one.rows, one.cols, one.data.map((x, i) => x * this.weight[Math.floor(i / one.cols)])));
      h = plus(h, product(weighted, one));
      apply(weighted, this.error[axis]).forEach((x, i) => (f[i] += x));
    });
    // a turn moves the image by about half a pitch: the scale of one unit of effort
    layout.names.forEach((name, i) => {
      const sharers = layout.bolts[/** @type {"A"} */ (name[0])].length;
      h.row(i)[i] += (this.aim.effort * (bolt.pitchMm / 2) ** 2) / sharers;
    });
    return { h, f };
  }

  /** Neighbours, tension over the image, movement of the image. @param {Matrix[]} m */
  #rows(m) {
    const { layout } = this.state;
    const neighbours = neighbourRows(layout, this.limits.moving(layout)).rows;
    const tension = this.state.influence(this.image).map((one) => carried(one, this.perTurn));
    const room = this.#tensionRoom();
    const kinds = [neighbours.rows, 2 * this.image.length, 2 * this.image.length];
    const a = new Matrix(kinds[0] + kinds[1] + kinds[2], layout.count);
    a.data.set(neighbours.data);
    this.image.forEach((_, i) => {
      for (const axis of [0, 1]) {
        a.row(kinds[0] + 2 * i + axis).set(tension[axis].row(i));
        a.row(kinds[0] + kinds[1] + 2 * i + axis).set(m[axis].row(this.marks.length + i));
      }
    });
    const ends = (/** @type {number} */ sign, /** @type {number[]} */ its) =>
      Float64Array.from([...new Array(kinds[0]).fill(sign * this.limits.neighbourTurns), ...its, ...new Array(kinds[2]).fill(sign * this.aim.move_mm)]);
    return { a, kinds, rowLow: ends(-1, room.low), rowHigh: ends(1, room.high) };
  }

  /** A screen outside its band already must at least not get worse. */
  #tensionRoom() {
    const { state, aim, image } = this;
    const most = aim.tension_change_n_per_cm;
    const read = state.tensionSd([[0.5, 0.5]]).map(([sd]) => sd < numbers.UNREAD_N_PER_CM);
    const now = state.tension(image);
    const { band } = aim;
    const room = image.flatMap((_, i) =>
      [0, 1].map((axis) => {
        if (!band || !read[axis]) return [-most, most];
        const least = numbers.NO_WORSE_N_PER_CM;
        return [Math.max(-most, Math.min(band[0] - now[axis][i], -least)), Math.min(most, Math.max(band[1] - now[axis][i], least))];
      }),
    );
    return { low: room.map(([low]) => low), high: room.map(([, high]) => high) };
  }

  /**
   * The program in the turns of the bolts marked, and how many rows of each kind it kept.
   *
   * @param {boolean[]} moving
   * @returns {{program: import("./quadratic.js").Program, kept: number[]}}
   */
  program(moving) {
    const { h, f, a, rowLow, rowHigh, kinds } = this.full;
    const at = where(moving);
    const matters = where(Array.from({ length: a.rows }, (_, row) => at.some((i) => a.at(row, i) !== 0)));
    const ends = [kinds[0], kinds[0] + kinds[1], a.rows];
    const kept = ends.map((end, k) => matters.filter((row) => row < end && row >= (ends[k - 1] ?? 0)).length);
    const program = {
      h: pick(h, at, at),
      f: taken(f, at),
      low: new Float64Array(at.length).fill(-this.limits.loosenTurns),
      high: new Float64Array(at.length).fill(this.limits.turns),
      a: pick(a, matters, at),
      rowLow: taken(rowLow, matters),
      rowHigh: taken(rowHigh, matters),
    };
    return { program, kept };
  }
}
