/** Small strictly convex quadratic programs, by the dual active-set method of Goldfarb and Idnani. */
import { dot, rowDot } from "./algebra.js";
import { Basis, cholesky, lowerSolve, upperSolve } from "./orthogonal.js";

/**
 * minimise 1/2 x'Hx + f'x  subject to  low <= x <= high, rowLow <= Ax <= rowHigh
 *
 * @typedef {object} Program
 * @property {import("./algebra.js").Matrix} h symmetric positive definite
 * @property {Float64Array} f @property {Float64Array} low @property {Float64Array} high
 * @property {import("./algebra.js").Matrix} a @property {Float64Array} rowLow @property {Float64Array} rowHigh  infinite where there is no limit
 *
 * @typedef {{x: Float64Array, boundActive: number[], rowActive: number[]}} Solution  active: +1 upper, -1 lower, 0 none
 *
 * @typedef {{row: number, sign: number, force: number}} Limit  a bound or, after the bounds, a row of A; +1 its upper end, -1 its lower
 */

const BROKEN = 1e-10; // of a row of length 1: what counts as outside its limit
const DEPENDENT = 1e-10; // of its length: what is left of a row that the limits held already make
const NO_FORCE = 1e-12;
const STEPS_PER_LIMIT = 10;

/** @param {Program} program @returns {Solution | null} null if nothing satisfies all limits */
export function solve(program) {
  const rows = new Rows(program);
  if (!rows.sound) return null;
  const root = cholesky(program.h);
  const x = upperSolve(root, lowerSolve(root, program.f.map((value) => -value)));
  /** @type {Limit[]} */
  const held = [];
  const basis = new Basis();
  for (let step = 0; step < STEPS_PER_LIMIT * rows.count; step++) {
    const next = rows.worst(x, held);
    if (!next) return { x, ...rows.said(held) };
    if (!hold(next, { rows, root, x, held, basis })) return null;
  }
  return null;
}

/**
 * Moves x until the broken limit just holds, letting go of limits whose force would turn round.
 *
 * @param {Limit} limit
 * @param {{rows: Rows, root: import("./algebra.js").Matrix, x: Float64Array, held: Limit[], basis: Basis}} now changed in place
 * @returns {boolean} false if no move can mend it
 */
function hold(limit, { rows, root, x, held, basis }) {
  const column = lowerSolve(root, rows.normal(limit));
  for (;;) {
    const { left, coefficients } = basis.split(column);
    const squared = dot(left, left);
    const share = basis.solve(coefficients);
    let give = -1;
    for (let j = 0; j < held.length; j++) {
      if (share[j] > 1e-14 && (give < 0 || held[j].force / share[j] < held[give].force / share[give])) give = j;
    }
    const free = squared > DEPENDENT ** 2 * dot(column, column);
    if (!free && give < 0) return false;
    const far = free ? rows.excess(limit, x) / squared : Infinity;
    const near = give < 0 ? Infinity : held[give].force / share[give];
    const step = Math.min(far, near);
    if (free) upperSolve(root, left).forEach((z, i) => (x[i] -= step * z));
    held.forEach((one, j) => (one.force -= step * share[j]));
    limit.force += step;
    if (far <= near) {
      held.push(limit);
      basis.add(column, left, coefficients);
      return true;
    }
    held.splice(give, 1);
    basis.drop(give);
  }
}

/** Bounds and rows, looked at alike. */
class Rows {
  /** @param {Program} program */
  constructor({ f, low, high, a, rowLow, rowHigh }) {
    this.n = f.length;
    this.count = this.n + a.rows;
    this.a = a;
    this.low = Float64Array.of(...low, ...rowLow);
    this.high = Float64Array.of(...high, ...rowHigh);
    this.length = Float64Array.from(this.low, (_, i) => (i < this.n ? 1 : Math.sqrt(dot(a.row(i - this.n), a.row(i - this.n)))));
    /** No row whose ends contradict each other, or that asks something of nothing. */
    this.sound = this.low.every((least, i) => {
      const most = this.high[i];
      return least <= most && (this.length[i] > BROKEN || (least <= BROKEN && most >= -BROKEN));
    });
  }

  /** @param {number} row @param {Float64Array} x */
  value(row, x) {
    return row < this.n ? x[row] : rowDot(this.a, row - this.n, x);
  }

  /** How far x lies outside a limit. @param {Limit} limit @param {Float64Array} x */
  excess({ row, sign }, x) {
    const value = this.value(row, x);
    return sign > 0 ? value - this.high[row] : this.low[row] - value;
  }

  /** The limit broken most, not yet held. @param {Float64Array} x @param {Limit[]} held @returns {Limit | null} */
  worst(x, held) {
    const skip = new Set(held.map((one) => one.row));
    let most = BROKEN;
    /** @type {Limit | null} */
    let found = null;
    for (let row = 0; row < this.count; row++) {
      if (this.length[row] <= BROKEN || skip.has(row)) continue;
      const value = this.value(row, x);
      const over = Math.max(value - this.high[row], this.low[row] - value) / this.length[row];
      if (over > most) [most, found] = [over, { row, sign: value > this.high[row] ? 1 : -1, force: 0 }];
    }
    return found;
  }

  /** Outward normal of a limit. @param {Limit} limit */
  normal({ row, sign }) {
    if (row >= this.n) return this.a.row(row - this.n).map((value) => sign * value);
    const out = new Float64Array(this.n);
    out[row] = sign;
    return out;
  }

  /** @param {Limit[]} held */
  said(held) {
    const active = new Array(this.count).fill(0);
    for (const { row, sign, force } of held) if (force * this.length[row] > NO_FORCE) active[row] = sign;
    return { boundActive: active.slice(0, this.n), rowActive: active.slice(this.n) };
  }
}
