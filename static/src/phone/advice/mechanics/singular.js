/** Singular values of small matrices, by one-sided Jacobi rotations, and what follows from them. */
import { Matrix, apply, dot, fromRows, product, transpose } from "./algebra.js";

const SWEEPS = 60;

/**
 * a = U diag(s) V' with s falling. `v` holds all right vectors as rows, those of the null space last.
 *
 * @param {Matrix} a
 * @returns {{u: Float64Array[], s: number[], v: Float64Array[]}} as many `u` and `s` as there are columns
 */
export function singular(a) {
  const n = a.cols;
  const columns = Array.from({ length: n }, (_, j) => transpose(a).row(j).slice());
  const right = Array.from({ length: n }, (_, j) => Float64Array.from({ length: n }, (_, i) => Number(i === j)));
  for (let sweep = 0, turned = true; turned && sweep < SWEEPS; sweep++) {
    turned = false;
    for (let p = 0; p < n; p++) {
      for (let q = p + 1; q < n; q++) turned = rotate(columns, right, p, q) || turned;
    }
  }
  const size = columns.map((column) => Math.sqrt(dot(column, column)));
  const order = size.map((_, j) => j).sort((i, j) => size[j] - size[i]);
  return {
    u: order.map((j) => columns[j].map((x) => (size[j] ? x / size[j] : 0))),
    s: order.map((j) => size[j]),
    v: order.map((j) => right[j]),
  };
}

/** Makes two columns orthogonal; whether there was anything to do. @param {Float64Array[]} columns @param {Float64Array[]} right @param {number} p @param {number} q */
function rotate(columns, right, p, q) {
  const alpha = dot(columns[p], columns[p]);
  const beta = dot(columns[q], columns[q]);
  const gamma = dot(columns[p], columns[q]);
  if (Math.abs(gamma) <= 1e-16 * Math.sqrt(alpha * beta) || gamma === 0) return false;
  const zeta = (beta - alpha) / (2 * gamma);
  const t = (zeta < 0 ? -1 : 1) / (Math.abs(zeta) + Math.sqrt(1 + zeta * zeta));
  const c = 1 / Math.sqrt(1 + t * t);
  for (const set of [columns, right]) {
    const [x, y] = [set[p], set[q]];
    for (let i = 0; i < x.length; i++) [x[i], y[i]] = [c * (x[i] - t * y[i]), c * (t * x[i] + y[i])];
  }
  return true;
}

/** Pseudo-inverse; singular values below `least` of the largest count as none. @param {Matrix} a @param {number} least */
export function pseudoInverse(a, least) {
  const { u, s, v } = singular(a);
  const kept = s.flatMap((value, j) => (value > least * s[0] ? [j] : []));
  const left = fromRows(kept.map((j) => u[j].map((x) => x / s[j])), a.rows);
  return kept.length ? product(transpose(fromRows(kept.map((j) => v[j]))), left) : new Matrix(a.cols, a.rows);
}

/** Shortest x of least |a x - b|. @param {Matrix} a @param {ArrayLike<number>} b @param {number} least */
export const leastSquares = (a, b, least) => apply(pseudoInverse(a, least), b);
