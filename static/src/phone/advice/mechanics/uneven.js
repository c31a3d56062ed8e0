/** How unevenly the piece sits: a smooth field of tension over the frame, by a few cosines. */
import { uneven as numbers } from "../numbers.js";
import { Matrix, product, solve, transpose } from "./algebra.js";

export class Unevenness {
  /** @param {Partial<typeof numbers.Unevenness>} [told] */
  constructor(told = {}) {
    const own = { ...numbers.Unevenness, ...told };
    this.slopeSd = own.slope_sd;
    /** Wave numbers along and across the threads. @type {[number, number][]} */
    this.waves = [];
    for (let j = 0; j <= own.along; j++) for (let k = 0; k <= own.across; k++) this.waves.push([j, k]);
    this.size = this.waves.length;
    this.most = Math.max(own.along, own.across);
    /** By axis and places. @type {WeakMap<import("./layout.js").Place[], Matrix>[]} */
    this.known = [new WeakMap(), new WeakMap()];
    /** By axis and values. @type {WeakMap<Matrix, Matrix>[]} */
    this.projections = [new WeakMap(), new WeakMap()];
    /** Prior standard deviation of each coefficient, N/cm. */
    this.sd = Float64Array.from(this.waves, ([j, k]) => {
      if (j > 0) return own.along_sd / j / (1 + k) ** own.fall;
      return k > 0 ? own.slope_sd / k ** own.fall : own.level_sd;
    });
  }

  /** (places, size) for tension carried along `axis`. @param {import("./layout.js").Place[]} places @param {number} axis */
  basis(places, axis) {
    const made = this.known[axis].get(places) ?? this.#basis(places, axis);
    this.known[axis].set(places, made);
    return made;
  }

  /** @param {import("./layout.js").Place[]} places @param {number} axis */
  #basis(places, axis) {
    const out = new Matrix(places.length, this.size);
    const cosines = (/** @type {number} */ share) => Array.from({ length: this.most + 1 }, (_, n) => Math.cos(Math.PI * share * n));
    places.forEach((place, i) => {
      const [along, across] = [cosines(place[axis]), cosines(place[1 - axis])];
      this.waves.forEach(([j, k], n) => (out.data[i * this.size + n] = along[j] * across[k]));
    });
    return out;
  }

  /** Coefficients (size, columns) of fields given at places, lightly damped. @param {import("./layout.js").Place[]} places @param {Matrix} values @param {number} axis */
  project(places, values, axis) {
    const made = this.projections[axis].get(values) ?? this.#project(places, values, axis);
    this.projections[axis].set(values, made);
    return made;
  }

  /** @param {import("./layout.js").Place[]} places @param {Matrix} values @param {number} axis */
  #project(places, values, axis) {
    const b = this.basis(places, axis);
    const flipped = transpose(b);
    const inner = product(flipped, b);
    for (let i = 0; i < this.size; i++) inner.data[i * (this.size + 1)] += 1e-3 * b.rows;
    return solve(inner, product(flipped, values));
  }
}
