/** The floating bar: its shape through the bolts, and what bending it costs. */
import { Matrix, product, scaled, solve, transpose } from "./algebra.js";

/**
 * Weights (places, bolts) that turn bolt positions into the bar's position: the natural cubic
 * spline, straight beyond the outer two.
 *
 * @param {number[]} bolts mm @param {number[]} at mm
 */
export function shapeWeights(bolts, at) {
  const k = bolts.length;
  const out = new Matrix(at.length, k);
  if (k < 2) out.data.fill(1);
  else {
    const spline = splineOf(bolts);
    at.forEach((x, i) => spline.weights(x, out.row(i)));
  }
  return out;
}

/** K (bolts, bolts), N/mm: 1/2 w'Kw is the bar's bending energy. @param {number[]} bolts mm @param {number} ei N mm2 */
export function bendingMatrix(bolts, ei) {
  const k = bolts.length;
  if (k < 3) return new Matrix(k, k);
  const { x, order, curvature } = splineOf(bolts);
  const mass = new Matrix(k, k);
  for (let i = 0; i + 1 < k; i++) {
    const h = (x[i + 1] - x[i]) / 6;
    for (const [p, q, times] of [[i, i, 2], [i, i + 1, 1], [i + 1, i, 1], [i + 1, i + 1, 2]]) mass.data[p * k + q] += h * times;
  }
  const sorted = product(transpose(curvature), product(mass, curvature));
  const out = new Matrix(k, k);
  order.forEach((p, i) => order.forEach((q, j) => (out.data[p * k + q] = sorted.at(i, j))));
  return scaled(out, ei);
}

/** @param {number[]} bolts two or more */
function splineOf(bolts) {
  const order = bolts.map((_, i) => i).sort((i, j) => bolts[i] - bolts[j]);
  const x = order.map((i) => bolts[i]);
  const curvature = curvatureOf(x);
  const last = x.length - 1;

  /** @param {number} at @param {Float64Array} out by bolt */
  function weights(at, out) {
    const inside = Math.min(Math.max(at, x[0]), x[last]);
    let i = 0;
    while (i < last - 1 && inside >= x[i + 1]) i++;
    const h = x[i + 1] - x[i];
    const [here, there, beyond] = [x[i + 1] - inside, inside - x[i], at - inside];
    const before = (here ** 3 / h - h * here) / 6 - beyond * (here ** 2 / (2 * h) - h / 6);
    const after = (there ** 3 / h - h * there) / 6 + beyond * (there ** 2 / (2 * h) - h / 6);
    for (let j = 0; j <= last; j++) out[order[j]] = before * curvature.at(i, j) + after * curvature.at(i + 1, j);
    out[order[i]] += (here - beyond) / h;
    out[order[i + 1]] += (there + beyond) / h;
  }

  return { x, order, curvature, weights };
}

/** Curvatures at the knots per position of each, zero at both ends. @param {number[]} x rising */
function curvatureOf(x) {
  const k = x.length;
  const left = new Matrix(k, k);
  const right = new Matrix(k, k);
  left.data[0] = left.data[k * k - 1] = 1;
  for (let i = 1; i + 1 < k; i++) {
    const [h0, h1] = [x[i] - x[i - 1], x[i + 1] - x[i]];
    left.row(i).set([h0 / 6, (h0 + h1) / 3, h1 / 6], i - 1);
    right.row(i).set([1 / h0, -1 / h0 - 1 / h1, 1 / h1], i - 1);
  }
  return solve(left, right);
}
