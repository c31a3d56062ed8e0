/** Quantities as the shop writes them: sums run in mm, per cm and N/cm, whatever is shown. Pure. */
import { decimal, t } from "../../../shared/language.js";

const MM_PER_INCH = 25.4;
const CM_PER_INCH = 2.54;

/** @typedef {"length" | "count" | "tension" | "um" | "pct" | "stress" | "kelvin" | "stiffness" | "push" | "force" | "ink" | "plain"} Measure */

/** @type {Record<Measure, {unit: string, digits: number}>} */
const PLAIN = {
  length: { unit: "mm", digits: 2 },
  count: { unit: t`per cm`, digits: 1 },
  tension: { unit: "N/cm", digits: 1 },
  um: { unit: "µm", digits: 1 },
  pct: { unit: "%", digits: 1 },
  stress: { unit: "MPa", digits: 0 },
  kelvin: { unit: "°C", digits: 0 },
  stiffness: { unit: "N/cm", digits: 0 },
  push: { unit: "N/cm", digits: 2 },
  force: { unit: "N", digits: 0 },
  ink: { unit: "cm³/m²", digits: 1 },
  plain: { unit: "", digits: 2 },
};

/** What one shown unit is in the sum's own. @param {Measure} measure @param {any} shop */
function factor(measure, shop) {
  if (measure === "length" && shop.length_unit === "in") return MM_PER_INCH;
  return measure === "count" && shop.count_unit === "in" ? 1 / CM_PER_INCH : 1;
}

/** @param {Measure} measure @param {any} shop */
export function unitOf(measure, shop) {
  if (measure === "length" && shop.length_unit === "in") return t`in`;
  return measure === "count" && shop.count_unit === "in" ? t`per inch` : PLAIN[measure].unit;
}

/** @param {number} shown @param {Measure} measure @param {any} shop */
export const toSum = (shown, measure, shop) => shown * factor(measure, shop);

/** Digits after the point, one more where an inch is the unit of length. @param {Measure} measure @param {any} shop */
const digitsOf = (measure, shop) => PLAIN[measure].digits + (measure === "length" && shop.length_unit === "in" ? 1 : 0);

/** As it is shown. @param {number} value @param {Measure} measure @param {any} shop */
export const shownValue = (value, measure, shop) => Number((value / factor(measure, shop)).toFixed(digitsOf(measure, shop)));

/** The number alone, for a field. @param {number} value @param {Measure} measure @param {any} shop */
export const shownNumber = (value, measure, shop) => decimal(shownValue(value, measure, shop));

/** Number and unit, for an answer. @param {number} value @param {Measure} measure @param {any} shop */
export function told(value, measure, shop) {
  const number = decimal((value / factor(measure, shop)).toFixed(digitsOf(measure, shop))).replace(/^-/, "−");
  return `${number} ${unitOf(measure, shop)}`.trim();
}
