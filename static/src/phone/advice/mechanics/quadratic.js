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
 * @typedef {{row: number, sign: number, force: number, fixed: boolean}} Limit  a bound or, after the bounds, a row of A; +1 its upper end, -1 its lower; fixed: never let go
 */

const BROKEN = 1e-10; // of a row of length 1: what counts as outside its limit
const DEPENDENT = 1e-10; // of its length: what is left of a row that the limits held already make
const NO_FORCE = 1e-12;
const STEPS_PER_LIMIT = 10;

/** @param {Program} program @returns {Solution | null} null if nothing satisfies all limits */
export function solve(program) {
  const search = new Search(program);
  return search.finish() ? { x: search.x, ...search.said() } : null;
}

/** A search that can be taken up again: unknowns may be fixed on the way, and a copy goes its own way. */
export class Search {
  /** @type {Rows} */
  #rows;
  /** @type {import("./algebra.js").Matrix} */
  #root;
  #basis = new Basis();
  /** @type {Limit[]} */
  #held = [];
  /** @type {Float64Array} */
  x;

  /** @param {Program | Search} from */
  constructor(from) {
    if (from instanceof Search) {
      this.#rows = from.#rows.copy();
      this.#root = from.#root;
      this.#basis = from.#basis.copy();
      this.#held = from.#held.map((one) => ({ ...one }));
      this.x = from.x.slice();
    } else {
      this.#rows = new Rows(from);
      this.#root = cholesky(from.h);
      this.x = upperSolve(this.#root, lowerSolve(this.#root, from.f.map((value) => -value)));
    }
  }

  /** Moves on until every limit holds. @returns {boolean} false if nothing satisfies all limits */
  finish() {
    if (!this.#rows.sound) return false;
    for (let step = 0; step < STEPS_PER_LIMIT * this.#rows.count; step++) {
      const next = this.#rows.worst(this.x, this.#held);
      if (!next) return true;
      if (!this.#hold(next)) return false;
    }
    return false;
  }

  /** Holds an unknown at a value within its bounds. @param {number} i @param {number} value @returns {boolean} false if it cannot be there */
  fix(i, value) {
    const at = this.#held.findIndex(({ row }) => row === i);
    const [bound = { row: i, sign: this.x[i] > value ? 1 : -1, force: 0 }] = at < 0 ? [] : this.#held.splice(at, 1);
    if (at >= 0) this.#basis.drop(at);
    this.#rows.low[i] = this.#rows.high[i] = value;
    return this.#hold({ ...bound, fixed: true });
  }

  /**
   * Moves x until the broken limit just holds, letting go of limits whose force would turn round.
   *
   * @param {Limit} limit
   * @returns {boolean} false if no move can mend it
   */
  #hold(limit) {
    let column = lowerSolve(this.#root, this.#rows.normal(limit));
    for (;;) {
      const { left, coefficients } = this.#basis.split(column);
      const squared = dot(left, left);
      const share = this.#basis.solve(coefficients);
      const free = squared > DEPENDENT ** 2 * dot(column, column);
      const give = this.#giving(share, 1);
      if (!free && give < 0) {
        // held by others at its value: those that can let go pull the other way
        if (!limit.fixed || this.#rows.excess(limit, this.x) > BROKEN) return false;
        if (this.#giving(share, -1) < 0) return true;
        [limit.sign, limit.force, column] = [-limit.sign, -limit.force, column.map((x) => -x)];
        continue;
      }
      const far = free ? this.#rows.excess(limit, this.x) / squared : Infinity;
      const near = give < 0 ? Infinity : this.#held[give].force / share[give];
      const step = Math.min(far, near);
      if (free) upperSolve(this.#root, left).forEach((z, i) => (this.x[i] -= step * z));
      this.#held.forEach((one, j) => (one.force -= step * share[j]));
      limit.force += step;
      if (far <= near) {
        this.#held.push(limit);
        this.#basis.add(left, coefficients);
        return true;
      }
      this.#held.splice(give, 1);
      this.#basis.drop(give);
    }
  }

  /** The limit that lets go first, -1 if none does. @param {Float64Array} share @param {1 | -1} sign */
  #giving(share, sign) {
    let give = -1;
    let least = Infinity;
    this.#held.forEach(({ force, fixed }, j) => {
      const far = force / (sign * share[j]);
      if (!fixed && sign * share[j] > 1e-14 && far < least) [give, least] = [j, far];
    });
    return give;
  }

  /** What holds the solution. */
  said() {
    const active = new Array(this.#rows.count).fill(0);
    for (const { row, sign, force } of this.#held) if (force * this.#rows.length[row] > NO_FORCE) active[row] = sign;
    return { boundActive: active.slice(0, this.x.length), rowActive: active.slice(this.x.length) };
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

  copy() {
    return Object.assign(Object.create(Rows.prototype), this, { low: this.low.slice(), high: this.high.slice() });
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
      if (over > most) [most, found] = [over, { row, sign: value > this.high[row] ? 1 : -1, force: 0, fixed: false }];
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
}
