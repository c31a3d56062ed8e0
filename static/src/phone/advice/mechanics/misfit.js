/** The register error between the marks: what is most likely elsewhere on the image. */
import { misfit as numbers } from "../numbers.js";
import { Matrix, apply, diagonal, plus, product, solveFor, transpose } from "./algebra.js";
import { affineRows } from "./decomposition.js";

/** @typedef {import("./layout.js").Place} Place */

/**
 * Most likely error at places, mm, in x and in y: shift, rotation, stretch and skew with wide priors
 * plus a smooth local part; near the marks it follows them.
 *
 * @param {import("./layout.js").Layout} layout @param {import("./marks.js").Mark[]} marks @param {Place[]} places
 */
export function expectedError(layout, marks, places) {
  const rough = numbers.Roughness;
  const here = marks.map(({ u, v }) => /** @type {Place} */ ([u, v]));
  const value = [...marks.map((one) => one.dx), ...marks.map((one) => one.dy)];
  const variance = [...marks, ...marks].map((one) => one.sd ** 2);
  const size = sizeOf(value, variance);
  const affine = rough.affine / ((layout.insideA + layout.insideB) / 4000);
  const prior = diagonal([rough.shift, rough.shift, affine, affine, affine, affine].map((x) => (size * x) ** 2));
  const local = Math.min(rough.local_mm, rough.local * size);
  const a = affineRows(layout, here);
  const ofMarks = product(prior, transpose(a));
  const between = (/** @type {Matrix} */ rows, /** @type {Place[]} */ at) => plus(product(rows, ofMarks), smooth(at, here, local));
  const weights = solveFor(plus(between(a, here), diagonal(variance)), value);
  const all = apply(between(affineRows(layout, places), places), weights);
  return [all.subarray(0, places.length), all.subarray(places.length)];
}

/** Root mean square of the errors less what their measurement alone would show. @param {number[]} value @param {number[]} variance */
function sizeOf(value, variance) {
  const mean = (/** @type {number[]} */ some) => some.reduce((sum, x) => sum + x, 0) / some.length;
  const noise = mean(variance);
  return Math.sqrt(Math.max(mean(value.map((x) => x ** 2)) - noise, 0.1 * noise));
}

/** Covariance of the smooth local part; the two directions are independent. @param {Place[]} p @param {Place[]} q @param {number} sd */
function smooth(p, q, sd) {
  const out = new Matrix(2 * p.length, 2 * q.length);
  p.forEach(([u, v], i) => {
    q.forEach(([s, t], j) => {
      const near = sd ** 2 * Math.exp(-((u - s) ** 2 + (v - t) ** 2) / (2 * numbers.Roughness.reach ** 2));
      out.row(i)[j] = out.row(p.length + i)[q.length + j] = near;
    });
  });
  return out;
}
