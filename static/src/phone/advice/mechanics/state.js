/** What is believed about one screen: unevenness, stiffness factors, drift, place of its bars. */
import { t } from "../../../shared/language.js";
import { state as numbers } from "../numbers.js";
import { Matrix, apply, diagonal, where } from "./algebra.js";
import { number } from "./faults.js";
import { Unevenness } from "./uneven.js";

/**
 * @typedef {import("./layout.js").Place} Place
 * @typedef {{ratio: number, message: string}} Surprise  `ratio` mean squared standardised gap
 * @typedef {typeof numbers.Doubt} Doubt
 *
 * @typedef {object} Told
 * @property {import("./strip.js").Strip} strip @property {import("./bolts.js").Bolt} bolt
 * @property {Unevenness} basis @property {Doubt} doubt
 * @property {Float64Array} mean  cosine coefficients in x, in y, factors x and y, drift x and y
 * @property {Matrix} covariance
 * @property {Float64Array} barMm outward since the mesh was locked in @property {Float64Array} drawMm of the bolts
 * @property {number} rounds @property {boolean} trusted all turns known @property {number} caution 0.25 to 1
 * @property {Surprise | null} surprise
 */

export class State {
  /** @param {Told} told */
  constructor(told) {
    this.strip = told.strip;
    this.bolt = told.bolt;
    this.basis = told.basis;
    this.doubt = told.doubt;
    this.mean = told.mean;
    this.covariance = told.covariance;
    this.barMm = told.barMm;
    this.drawMm = told.drawMm;
    this.rounds = told.rounds;
    this.trusted = told.trusted;
    this.caution = told.caution;
    this.surprise = told.surprise;
    this.layout = told.strip.layout;
    /** Where the factors and the drifts stand in `mean`. */
    this.factorAt = 2 * told.basis.size;
    this.driftAt = this.factorAt + 2;
    /** Places are asked for again and again. @type {WeakMap<Place[], Matrix>} */
    this.known = new WeakMap();
  }

  /** @param {Partial<Told>} changes */
  with(changes) {
    return new State({ ...this, ...changes });
  }

  /** Stiffness factors in x and y. */
  get factors() {
    return this.mean.subarray(this.factorAt, this.driftAt);
  }

  get readingSd() {
    return Math.hypot(this.doubt.meter_n_per_cm, this.doubt.resolution_n_per_cm / Math.sqrt(12));
  }

  /** (2 places, states): from the state to tension at places, all x then all y. @param {Place[]} places */
  rows(places) {
    const made = this.known.get(places) ?? this.#rows(places);
    this.known.set(places, made);
    return made;
  }

  /** @param {Place[]} places */
  #rows(places) {
    const k = this.basis.size;
    const n = places.length;
    const out = new Matrix(2 * n, this.mean.length);
    this.strip.tension(places).forEach((influence, axis) => {
      const driven = apply(influence, this.barMm);
      const basis = this.basis.basis(places, axis);
      for (let i = 0; i < n; i++) {
        const row = out.row(axis * n + i);
        row.set(basis.row(i), axis * k);
        row[this.factorAt + axis] = driven[i];
      }
    });
    return out;
  }

  /** Estimated tension now, N/cm, in x and in y. @param {Place[]} places */
  tension(places) {
    return halves(apply(this.rows(places), this.mean));
  }

  /** Its standard deviation, meter not included. @param {Place[]} places */
  tensionSd(places) {
    const h = this.rows(places);
    const out = new Float64Array(h.rows);
    for (let i = 0; i < h.rows; i++) out[i] = Math.sqrt(spread(h.row(i), this.covariance));
    return halves(out);
  }

  /** Change of tension per mm of bar with the factors learned, in x and in y. @param {Place[]} places */
  influence(places) {
    return this.strip.tension(places).map((one, axis) => new Matrix(one.rows, one.cols, one.data.map((x) => x * this.factors[axis])));
  }

  /** Means over places of the tension, in x and in y. @param {Place[]} places */
  level(places) {
    return this.tension(places).map((one) => one.reduce((sum, x) => sum + x, 0) / one.length);
  }
}

/** @param {Float64Array} both */
const halves = (both) => [both.subarray(0, both.length / 2), both.subarray(both.length / 2)];

/** h P h', of which h is sparse and P symmetric. @param {Float64Array} h @param {Matrix} covariance */
function spread(h, { data, cols }) {
  const at = where(h);
  let sum = 0;
  for (let m = 0; m < at.length; m++) {
    const i = at[m];
    let below = (h[i] * data[i * cols + i]) / 2;
    for (let n = 0; n < m; n++) below += data[i * cols + at[n]] * h[at[n]];
    sum += 2 * h[i] * below;
  }
  return sum;
}

/**
 * A screen just locked in, of which nothing has been read.
 *
 * @param {import("./strip.js").Strip} strip @param {import("./bolts.js").Bolt} bolt
 * @param {{basis?: Unevenness, factors?: number[], factorSd?: number[], level?: number, doubt?: Doubt}} [told]
 */
export function begin(strip, bolt, told = {}) {
  const { basis = new Unevenness(), doubt = numbers.Doubt, factors = [1, 1], level = 15 } = told;
  const { factorSd = [doubt.factor, doubt.factor] } = told;
  const mean = Float64Array.from([...new Array(2 * basis.size).fill(0), ...factors, doubt.drift, doubt.drift]);
  mean[0] = mean[basis.size] = number("level_n_per_cm", level, 0, 150, t`Enter a tension`);
  const sd = [...basis.sd, ...basis.sd, ...factorSd, doubt.drift_sd, doubt.drift_sd];
  const nothing = new Float64Array(strip.layout.count);
  const covariance = diagonal(sd.map((x) => x ** 2));
  return new State({ strip, bolt, basis, doubt, mean, covariance, barMm: nothing, drawMm: nothing, rounds: 0, trusted: true, caution: 1, surprise: null });
}
