/** What readings do to the state. */
import { t } from "../../../shared/language.js";
import { state as numbers } from "../numbers.js";
import { Matrix, apply, diagonal, dot, inverse, plus, product, sandwich, scaled, solve, transpose } from "./algebra.js";
import { oddReading } from "./odd_reading.js";
import { table } from "./readings.js";

const FAR = t`The readings are far from what the known turns explain: wrong frame or meter, a turn that was not logged, or a lock that slipped?`;

/**
 * The linear maximum a posteriori (Kalman) update. Readings far outside what was predicted widen the
 * old covariance first, so that they win, and `trusted` falls; `surprise` says what is odd.
 *
 * @param {import("./state.js").State} state @param {import("./readings.js").Reading[]} readings
 */
export function afterReadings(state, readings) {
  const rows = table(readings);
  const n = rows.length;
  if (!n) return state;
  const all = state.rows(rows.map((row) => row.place));
  const h = new Matrix(n, all.cols);
  rows.forEach((row, i) => h.row(i).set(all.row(row.axis * n + i)));
  const expected = apply(h, state.mean);
  const gap = Float64Array.from(rows, (row, i) => row.value - expected[i]);
  const noise = diagonal(new Float64Array(n).fill(state.readingSd ** 2));
  const surprise = surpriseOf(plus(sandwich(h, state.covariance), noise), gap, rows.map((row) => row.place), state.rounds);
  const before = surprise.ratio > limit(n) ? widened(state, surprise.ratio) : state.covariance;
  const across = product(h, before);
  const gain = transpose(solve(plus(product(across, transpose(h)), noise), across));
  const keep = plus(identity(state.mean.length), product(gain, h), -1);
  const shift = apply(gain, gap);
  const far = surprise.message !== "";
  return state.with({
    mean: state.mean.map((x, i) => x + shift[i]),
    covariance: plus(sandwich(keep, before), sandwich(gain, noise)),
    surprise,
    trusted: state.trusted && !(state.rounds && surprise.ratio > limit(n)),
    caution: far ? Math.max(0.25, state.caution / 2) : Math.min(1, state.caution * 2),
  });
}

/** The covariance times `ratio`, but nowhere beyond `WIDEST`. @param {import("./state.js").State} state @param {number} ratio */
function widened({ basis, doubt, covariance }, ratio) {
  const first = [...basis.sd, ...basis.sd, doubt.factor, doubt.factor, doubt.drift_sd, doubt.drift_sd];
  const most = first.map((sd, i) => (numbers.WIDEST * sd) ** 2 / Math.max(covariance.at(i, i), 1e-12));
  return scaled(covariance, Math.max(1, Math.min(ratio, ...most)));
}

/** @param {number} n */
const identity = (n) => diagonal(new Float64Array(n).fill(1));

/** 99.5 % point of a chi-square over its n degrees of freedom. @param {number} n */
const limit = (n) => (1 - 2 / (9 * n) + 2.576 * Math.sqrt(2 / (9 * n))) ** 3;

/** Each reading against what all the others say. @param {Matrix} s covariance of the gaps @param {Float64Array} gap @param {[number, number][]} places @param {number} rounds */
function surpriseOf(s, gap, places, rounds) {
  const back = inverse(s);
  const told = apply(back, gap);
  const ratio = dot(gap, told) / gap.length;
  const alone = told.map((x, i) => Math.abs(x) / Math.sqrt(back.at(i, i)));
  const worst = alone.indexOf(Math.max(...alone));
  const message = alone[worst] > 4 ? oddReading(places[worst]) : ratio > limit(gap.length) && rounds ? FAR : "";
  return { ratio, message };
}
