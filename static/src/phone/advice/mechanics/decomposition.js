/** What moved: shift, rotation, stretch, skew, and what these marks cannot tell. */
import { said, t } from "../../../shared/language.js";
import { decomposition as numbers } from "../numbers.js";
import { Matrix, apply, fromRows, inverse, product, transpose } from "./algebra.js";
import { InputFault } from "./faults.js";
import { singular } from "./singular.js";
import { centredMm } from "./views.js";

export const { NAMES } = numbers;
export const WORDS = /** @type {Record<string, string>} */ (numbers.WORDS);

/**
 * @typedef {import("./layout.js").Layout} Layout
 * @typedef {{values: Float64Array, sd: Float64Array, cannotTell: string[]}} Decomposition  in the order of NAMES: mm, then mm per m
 */

/** (2 places, 6) displacement, all x then all y, per unit of each part. @param {Layout} layout @param {import("./layout.js").Place[]} places */
export function affineRows(layout, places) {
  const at = places.map((place) => centredMm(layout, place).map((mm) => mm / 1000));
  const along = at.map(([x, y]) => [1, 0, -y, x, 0, y / 2]);
  const across = at.map(([x, y]) => [0, 1, x, 0, y, x / 2]);
  return fromRows([...along, ...across], 6);
}

/** Least squares of shift, rotation, stretch and skew; the smallest parts where the marks leave a choice. @param {Layout} layout @param {import("./marks.js").Mark[]} marks @returns {Decomposition} */
export function decompose(layout, marks) {
  if (!marks.length) throw new InputFault("marks", "none", t`Enter at least one mark.`);
  const rows = affineRows(layout, marks.map(({ u, v }) => [u, v]));
  const errors = [...marks.map((one) => one.dx), ...marks.map((one) => one.dy)];
  const sd = [...marks, ...marks].map((one) => one.sd);
  const weighted = transpose(new Matrix(rows.rows, 6, rows.data.map((x, i) => x / sd[Math.floor(i / 6)] ** 2)));
  const information = product(weighted, rows);
  NAMES.forEach((_, i) => {
    const reach = i < 2 ? 1 : 2000 / (layout.insideA + layout.insideB);
    information.row(i)[i] += (numbers.PRIOR_MM * reach) ** -2;
  });
  const covariance = inverse(information);
  const values = apply(covariance, apply(weighted, errors));
  return { values, sd: Float64Array.from(NAMES, (_, i) => Math.sqrt(covariance.at(i, i))), cannotTell: openParts(rows) };
}

/** Parts that have more than a trace in what the marks do not see. @param {Matrix} rows */
function openParts(rows) {
  const { s, v } = singular(rows);
  const blind = v.filter((_, j) => !(s[j] > 1e-9 * s[0]));
  return NAMES.filter((_, i) => Math.sqrt(blind.reduce((sum, one) => sum + one[i] ** 2, 0)) > numbers.OPEN_SHARE);
}

/** One part by its name. @param {Decomposition} found @param {string} name */
export const part = (found, name) => found.values[NAMES.indexOf(name)];

/** What the marks cannot tell, in words; empty if they tell everything. @param {Decomposition} found */
export const openMessage = ({ cannotTell }) => (cannotTell.length ? t`These marks cannot tell: ${cannotTell.map((name) => said(WORDS[name])).join(", ")}.` : "");
