/** The strip model: threads act alone between the two bars that hold them, in closed form. */
import { strip as numbers } from "../numbers.js";
import { Matrix, apply, linspace, transpose } from "./algebra.js";
import { bendingMatrix, shapeWeights } from "./bar.js";
import { OPPOSITE, OUTWARD, SIDES, checkedPlaces } from "./layout.js";

/**
 * @typedef {import("./layout.js").Place} Place
 * @typedef {import("./layout.js").Side} Side
 * @typedef {[Matrix, Matrix]} Both  per mm of bar position, (places, bolts): in x, in y
 */

export class Strip {
  /** @param {import("./layout.js").Layout} layout @param {import("./cloth.js").Mesh} mesh */
  constructor(layout, mesh) {
    this.layout = layout;
    this.mesh = mesh;
    /** Places are asked for again and again. @type {WeakMap<Place[], Both>} */
    this.known = new WeakMap();
    /** What the tension along a side, at places, puts on each of its bolts, N per N/cm. @type {{places: Place[], axis: number, columns: number[], share: Matrix}[]} */
    this.edges = SIDES.map((side) => this.#edge(side));
    this.bending = this.#bending();
    this.spring = this.#spring();
  }

  /** Change of tension per mm of bar position, N/cm per mm. @param {Place[]} places @returns {Both} */
  tension(places) {
    const both = this.known.get(places) ?? this.#tension(places);
    this.known.set(places, both);
    return both;
  }

  /** @param {Place[]} places @returns {Both} */
  #tension(places) {
    const strain = this.#each(places, (side) => () => 1 / this.layout.span(side));
    const [x, y] = strain.map((one) => one.data);
    const mixed = this.mesh.stiffness.map(([ofX, ofY]) => {
      const out = new Matrix(places.length, this.layout.count);
      for (let i = 0; i < x.length; i++) out.data[i] = ofX * x[i] + ofY * y[i];
      return out;
    });
    return /** @type {Both} */ (mixed);
  }

  /** Displacement per mm of bar position, mm per mm. @param {Place[]} places @returns {Both} */
  displacement(places) {
    return this.#each(places, (side) => {
      const [sign, axis] = OUTWARD[side];
      return (place) => (sign > 0 ? place[axis] : place[axis] - 1);
    });
  }

  /** Each bar's position opposite the places, times a factor, along the axis it moves. @param {Place[]} places @param {(side: Side) => (place: Place) => number} factorOf @returns {Both} */
  #each(places, factorOf) {
    checkedPlaces(places);
    /** @type {Both} */
    const out = [new Matrix(places.length, this.layout.count), new Matrix(places.length, this.layout.count)];
    for (const side of SIDES) {
      const axis = OUTWARD[side][1];
      const across = places.map((place) => place[1 - axis] * this.layout.length(side));
      const bar = shapeWeights(this.layout.along(side), across);
      const [first] = this.layout.columns(side);
      const factor = factorOf(side);
      places.forEach((place, i) => {
        const times = factor(place);
        const to = i * this.layout.count + first;
        for (let j = 0; j < bar.cols; j++) out[axis].data[to + j] = times * bar.data[i * bar.cols + j];
      });
    }
    return out;
  }

  /** (bolts, bolts), N/mm, of the four bars. */
  #bending() {
    const n = this.layout.count;
    const out = new Matrix(n, n);
    for (const side of SIDES) {
      const block = bendingMatrix(this.layout.along(side), this.layout.eiNMm2);
      const [first] = this.layout.columns(side);
      for (let i = 0; i < block.rows; i++) out.row(first + i).set(block.row(i), first);
    }
    return out;
  }

  /** (bolts, bolts), N/mm: forces the mesh puts on the bars per mm of bar position. */
  #spring() {
    const n = this.layout.count;
    const out = new Matrix(n, n);
    for (const side of /** @type {Side[]} */ (["A", "B"])) {
      const width = this.layout.length(side);
      const axis = OUTWARD[side][1];
      const stiffness = this.mesh.stiffness[axis][axis] / 10 / this.layout.span(side);
      const weight = simpson(width).map((w) => stiffness * w);
      const at = linspace(0, width, numbers.QUADRATURE);
      const bars = [side, OPPOSITE[side]].map((one) => ({ columns: this.layout.columns(one), shape: shapeWeights(this.layout.along(one), at) }));
      for (const one of bars) for (const two of bars) addWeighted(out, one, two, weight);
    }
    return out;
  }

  /** Inward forces at the bolts, N, from the tension along each side. @param {(places: Place[]) => Float64Array[]} tension N/cm in x and in y */
  pull(tension) {
    const out = new Float64Array(this.layout.count);
    for (const { places, axis, columns, share } of this.edges) out.set(apply(share, tension(places)[axis]), columns[0]);
    return out;
  }

  /** @param {Side} side */
  #edge(side) {
    const s = linspace(0, 1, numbers.QUADRATURE);
    const width = this.layout.length(side);
    const [sign, axis] = OUTWARD[side];
    const fixed = sign > 0 ? 1 : 0;
    const places = s.map((t) => /** @type {Place} */ (axis ? [t, fixed] : [fixed, t]));
    const weight = simpson(width);
    const share = transpose(shapeWeights(this.layout.along(side), s.map((t) => t * width)));
    for (let i = 0; i < share.data.length; i++) share.data[i] *= weight[i % share.cols] / 10;
    return { places, axis, columns: this.layout.columns(side), share };
  }
}

/** @typedef {{columns: number[], shape: Matrix}} Shaped */

/** @param {Matrix} out @param {Shaped} one @param {Shaped} two @param {number[]} weight */
function addWeighted(out, one, two, weight) {
  one.columns.forEach((row, i) => {
    two.columns.forEach((column, j) => {
      for (let t = 0; t < weight.length; t++) out.data[row * out.cols + column] += one.shape.at(t, i) * weight[t] * two.shape.at(t, j);
    });
  });
}

/** Simpson weights over the points along a bar. @param {number} length */
function simpson(length) {
  const last = numbers.QUADRATURE - 1;
  return Array.from({ length: last + 1 }, (_, i) => ((i === 0 || i === last ? 1 : i % 2 ? 4 : 2) * length) / last / 3);
}
