/** A triangular root of a matrix, and an orthonormal basis that grows and shrinks. */
import { Matrix, dot } from "./algebra.js";

/** L of H = L L'. @param {Matrix} h symmetric positive definite */
export function cholesky(h) {
  const n = h.rows;
  const out = new Matrix(n, n);
  const { data } = out;
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = h.data[i * n + j];
      for (let k = 0; k < j; k++) sum -= data[i * n + k] * data[j * n + k];
      data[i * n + j] = i === j ? Math.sqrt(sum) : sum / data[j * n + j];
    }
  }
  return out;
}

/** y of L y = b. @param {Matrix} root @param {Float64Array} b */
export function lowerSolve(root, b) {
  const y = b.slice();
  const n = y.length;
  for (let i = 0; i < n; i++) {
    for (let k = 0; k < i; k++) y[i] -= root.data[i * n + k] * y[k];
    y[i] /= root.data[i * n + i];
  }
  return y;
}

/** x of L' x = y. @param {Matrix} root @param {Float64Array} y */
export function upperSolve(root, y) {
  const x = y.slice();
  const n = x.length;
  for (let i = n - 1; i >= 0; i--) {
    x[i] /= root.data[i * n + i];
    for (let k = 0; k < i; k++) x[k] -= root.data[i * n + k] * x[i];
  }
  return x;
}

/** Columns as Q R with Q orthonormal, by Gram and Schmidt, twice. */
export class Basis {
  constructor() {
    /** @type {Float64Array[]} */
    this.q = [];
    /** R by columns. @type {Float64Array[]} */
    this.r = [];
  }

  /** What is in the lists is never changed in place, so the copy shares it. */
  copy() {
    const out = new Basis();
    [out.q, out.r] = [this.q.slice(), this.r.slice()];
    return out;
  }

  /** What of a column lies outside the basis, and its coefficients inside. @param {Float64Array} column */
  split(column) {
    const left = column.slice();
    const coefficients = new Float64Array(this.q.length);
    for (let pass = 0; pass < 2; pass++) {
      this.q.forEach((unit, j) => {
        const part = dot(unit, left);
        coefficients[j] += part;
        for (let i = 0; i < left.length; i++) left[i] -= part * unit[i];
      });
    }
    return { left, coefficients };
  }

  /** x of R x = coefficients. @param {Float64Array} coefficients */
  solve(coefficients) {
    const x = coefficients.slice();
    for (let j = x.length - 1; j >= 0; j--) {
      const column = this.r[j];
      x[j] /= column[j];
      for (let i = 0; i < j; i++) x[i] -= column[i] * x[j];
    }
    return x;
  }

  /** @param {Float64Array} left @param {Float64Array} coefficients of `split` */
  add(left, coefficients) {
    const size = Math.sqrt(dot(left, left));
    this.q.push(left.map((x) => x / size));
    this.r.push(Float64Array.of(...coefficients, size));
  }

  /** A column taken out; Givens rotations make R triangular again. @param {number} index */
  drop(index) {
    const later = this.r.slice(index + 1).map((column) => column.slice());
    const units = this.q.slice(index).map((unit) => unit.slice());
    later.forEach((column, k) => {
      const [row, size] = [index + k, Math.hypot(column[index + k], column[index + k + 1])];
      const [cos, sin] = [column[row] / size, column[row + 1] / size];
      for (const other of later.slice(k)) turn(other, row, other, row + 1, cos, sin);
      for (let i = 0; i < units[k].length; i++) turn(units[k], i, units[k + 1], i, cos, sin);
    });
    this.q = [...this.q.slice(0, index), ...units.slice(0, -1)];
    this.r = [...this.r.slice(0, index), ...later.map((column) => column.subarray(0, column.length - 1))];
  }
}

/** One number of each of two lists, turned in their plane. @param {Float64Array} a @param {number} i @param {Float64Array} b @param {number} j @param {number} cos @param {number} sin */
function turn(a, i, b, j, cos, sin) {
  const [x, y] = [a[i], b[j]];
  a[i] = cos * x + sin * y;
  b[j] = cos * y - sin * x;
}
