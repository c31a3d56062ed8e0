/** Small strictly convex quadratic programs, by the dual active-set method of Goldfarb and Idnani. */
import { solveQP } from "quadprog";

import { dot } from "./algebra.js";

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
 * @typedef {object} Row  a bound on one unknown, or a row of A
 * @property {number} [unknown] @property {ArrayLike<number>} weights @property {number} norm
 * @property {number} low @property {number} high
 *
 * @typedef {{row: number, sign: number}} Limit  +1: the row's upper end, -1: its lower
 */

const TOLERANCE = 1e-10;
const NO_ROW = 1e-11;
const NO_FORCE = 1e-12;
const TRIES = 100;

/**
 * Solves with the limits that matter: those that the answer breaks are added until it breaks none.
 * Hundreds of limits stand around a plan and few hold it.
 *
 * @param {Program} program
 * @returns {Solution | null} null if nothing satisfies all limits
 */
export function solve(program) {
  const rows = rowsOf(program);
  const empty = (/** @type {Row} */ row) => row.norm < NO_ROW && (row.low > TOLERANCE || row.high < -TOLERANCE);
  if (rows.some((row) => row.low > row.high || empty(row))) return null;
  /** @type {Limit[]} */
  const limits = [];
  for (let tries = 0; tries < TRIES; tries++) {
    const found = solveWithin(program, rows, limits);
    if (!found) return null;
    const broken = brokenBy(found.x, rows);
    if (!broken.length) return { x: found.x, ...holding(program, limits, found.force) };
    limits.push(...broken);
  }
  return null;
}

/** @param {Program} program @returns {Row[]} bounds first */
function rowsOf({ f, low, high, a, rowLow, rowHigh }) {
  const bounds = Array.from(f, (_, i) => ({ unknown: i, weights: [], norm: 1, low: low[i], high: high[i] }));
  const rows = Array.from(rowLow, (_, i) => ({ weights: a.row(i), norm: Math.sqrt(dot(a.row(i), a.row(i))), low: rowLow[i], high: rowHigh[i] }));
  return [...bounds, ...rows];
}

/** @param {Float64Array} x @param {Row[]} rows @returns {Limit[]} */
function brokenBy(x, rows) {
  return rows.flatMap(({ unknown, weights, norm, low, high }, row) => {
    if (norm < NO_ROW) return [];
    const value = unknown === undefined ? dot(weights, x) : x[unknown];
    if (value > high + TOLERANCE * norm) return [{ row, sign: 1 }];
    return value < low - TOLERANCE * norm ? [{ row, sign: -1 }] : [];
  });
}

/** The library counts from 1. @param {Program} program @param {Row[]} rows @param {Limit[]} limits @returns {{x: Float64Array, force: number[]} | null} */
function solveWithin({ h, f }, rows, limits) {
  const n = f.length;
  const square = [[], ...Array.from({ length: n }, (_, i) => [0, ...h.row(i)])];
  const sides = [[], ...Array.from({ length: n }, () => new Array(limits.length + 1).fill(0))];
  limits.forEach(({ row, sign }, k) => {
    const { unknown, weights } = rows[row];
    if (unknown !== undefined) sides[unknown + 1][k + 1] = -sign;
    else for (let i = 0; i < n; i++) sides[i + 1][k + 1] = -sign * weights[i];
  });
  const ends = [0, ...limits.map(({ row, sign }) => (sign > 0 ? -rows[row].high : rows[row].low))];
  const found = solveQP(square, [0, ...f.map((x) => -x)], sides, ends);
  return found.message ? null : { x: Float64Array.from(found.solution.slice(1)), force: found.Lagrangian.slice(1) };
}

/** @param {Program} program @param {Limit[]} limits @param {number[]} force */
function holding({ f, rowLow }, limits, force) {
  const n = f.length;
  const active = new Array(n + rowLow.length).fill(0);
  limits.forEach(({ row, sign }, k) => {
    if (force[k] > NO_FORCE) active[row] = sign;
  });
  return { boundActive: active.slice(0, n), rowActive: active.slice(n) };
}
