/** Small dense linear algebra, row by row in one typed array. */

export class Matrix {
  /** @param {number} rows @param {number} cols @param {Float64Array} [data] */
  constructor(rows, cols, data = new Float64Array(rows * cols)) {
    this.rows = rows;
    this.cols = cols;
    this.data = data;
  }

  /** @param {number} i @param {number} j */
  at(i, j) {
    return this.data[i * this.cols + j];
  }

  /** @param {number} i */
  row(i) {
    return this.data.subarray(i * this.cols, (i + 1) * this.cols);
  }

  copy() {
    return new Matrix(this.rows, this.cols, this.data.slice());
  }
}

/** @param {ArrayLike<number>[]} rows @param {number} [cols] */
export function fromRows(rows, cols = rows[0]?.length ?? 0) {
  const out = new Matrix(rows.length, cols);
  rows.forEach((row, i) => out.data.set(row, i * cols));
  return out;
}

/** @param {ArrayLike<number>} values */
export function diagonal(values) {
  const n = values.length;
  const out = new Matrix(n, n);
  for (let i = 0; i < n; i++) out.data[i * (n + 1)] = values[i];
  return out;
}

/** @param {Matrix} a */
export function transpose(a) {
  const out = new Matrix(a.cols, a.rows);
  for (let i = 0; i < a.rows; i++) for (let j = 0; j < a.cols; j++) out.data[j * a.rows + i] = a.data[i * a.cols + j];
  return out;
}

/** @param {Matrix} a @param {Matrix} b */
export function product(a, b) {
  const out = new Matrix(a.rows, b.cols);
  for (let i = 0; i < a.rows; i++) {
    const to = i * b.cols;
    for (let k = 0; k < a.cols; k++) {
      const factor = a.data[i * a.cols + k];
      if (factor === 0) continue;
      const at = k * b.cols;
      for (let j = 0; j < b.cols; j++) out.data[to + j] += factor * b.data[at + j];
    }
  }
  return out;
}

/** @param {Matrix} a @param {ArrayLike<number>} x */
export function apply(a, x) {
  const out = new Float64Array(a.rows);
  for (let i = 0; i < a.rows; i++) out[i] = rowDot(a, i, x);
  return out;
}

/** A row times x, without the cost of a view. @param {Matrix} a @param {number} i @param {ArrayLike<number>} x */
export function rowDot({ data, cols }, i, x) {
  const from = i * cols;
  let sum = 0;
  for (let j = 0; j < cols; j++) sum += data[from + j] * x[j];
  return sum;
}

/** @param {ArrayLike<number>} x @param {ArrayLike<number>} y */
export function dot(x, y) {
  let sum = 0;
  for (let i = 0; i < x.length; i++) sum += x[i] * y[i];
  return sum;
}

/** a + factor b. @param {Matrix} a @param {Matrix} b @param {number} [factor] */
export function plus(a, b, factor = 1) {
  const out = a.copy();
  for (let i = 0; i < out.data.length; i++) out.data[i] += factor * b.data[i];
  return out;
}

/** @param {Matrix} a @param {number} factor */
export const scaled = (a, factor) => new Matrix(a.rows, a.cols, a.data.map((value) => factor * value));

/** a b a', of which a may be sparse. @param {Matrix} a @param {Matrix} b symmetric */
export const sandwich = (a, b) => product(a, transpose(product(a, b)));

/** a b where b is sparse. @param {Matrix} a @param {Matrix} b */
export const carried = (a, b) => transpose(product(transpose(b), transpose(a)));

/** Rows and columns by index. @param {Matrix} a @param {number[]} rows @param {number[]} cols */
export function pick(a, rows, cols) {
  const out = new Matrix(rows.length, cols.length);
  let next = 0;
  for (const i of rows) for (const j of cols) out.data[next++] = a.data[i * a.cols + j];
  return out;
}

/** Indices where `mask` is true. @param {ArrayLike<unknown>} mask */
export function where(mask) {
  const out = [];
  for (let i = 0; i < mask.length; i++) if (mask[i]) out.push(i);
  return out;
}

/** @param {ArrayLike<number>} from @param {number[]} at */
export const taken = (from, at) => Float64Array.from(at, (i) => from[i]);

/** X of a X = b by elimination with row exchange. @param {Matrix} a @param {Matrix} b */
export function solve(a, b) {
  const n = a.rows;
  const left = a.copy();
  const right = b.copy();
  for (let k = 0; k < n; k++) {
    let best = k;
    for (let i = k + 1; i < n; i++) if (Math.abs(left.at(i, k)) > Math.abs(left.at(best, k))) best = i;
    if (left.at(best, k) === 0) throw new RangeError("singular matrix");
    if (best !== k) [left, right].forEach((m) => exchange(m, k, best));
    for (let i = k + 1; i < n; i++) {
      const factor = left.at(i, k) / left.at(k, k);
      if (factor === 0) continue;
      less(left, i, k, factor);
      less(right, i, k, factor);
    }
  }
  for (let i = n - 1; i >= 0; i--) {
    for (let k = i + 1; k < n; k++) less(right, i, k, left.at(i, k));
    const row = right.row(i);
    for (let j = 0; j < row.length; j++) row[j] /= left.at(i, i);
  }
  return right;
}

/** @param {Matrix} m @param {number} i @param {number} k */
function exchange(m, i, k) {
  const row = m.row(i).slice();
  m.row(i).set(m.row(k));
  m.row(k).set(row);
}

/** @param {Matrix} m @param {number} i @param {number} k @param {number} factor */
function less(m, i, k, factor) {
  const to = i * m.cols;
  const from = k * m.cols;
  for (let j = 0; j < m.cols; j++) m.data[to + j] -= factor * m.data[from + j];
}

/** @param {Matrix} a @param {ArrayLike<number>} b */
export const solveFor = (a, b) => solve(a, new Matrix(b.length, 1, Float64Array.from(b))).data;

/** @param {Matrix} a */
export const inverse = (a) => solve(a, diagonal(new Float64Array(a.rows).fill(1)));

/** n numbers from `start` to `stop`, both included. @param {number} start @param {number} stop @param {number} n */
export function linspace(start, stop, n) {
  const step = (stop - start) / (n - 1);
  return Array.from({ length: n }, (_, i) => (i === n - 1 ? stop : start + i * step));
}
