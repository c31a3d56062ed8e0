/** From what was typed to what is saved, and what stands in the way. Pure. */
import { decimal, t } from "../../../shared/language.js";
import { readNumber } from "../../../shared/units.js";

/** @typedef {import("./specs.js").Field} Field */

const missing = (/** @type {any} */ value) =>
  value === null || value === undefined || value === "" || (typeof value === "string" && !value.trim()) || (typeof value === "object" && Object.keys(value).length === 0);

/** @param {Field} field @param {string} text */
function numberProblem(field, text) {
  const value = readNumber(text);
  const { least = -Infinity, most = Infinity } = field;
  if (value === null) return t`“${text}” is not a number. Type digits, with comma or point.`;
  if (field.whole && !Number.isInteger(value)) return t`Type a whole number.`;
  if (value < least || value > most) return t`${text} is out of range: give ${least} to ${[decimal(most), field.unit].filter(Boolean).join(" ")}.`;
  return "";
}

/** @param {Field} field @param {any} value @returns {string} "" when it can be saved */
function problemOf(field, value) {
  if (missing(value)) {
    if (field.optional) return "";
    return field.type === "choice" || field.type === "bolt" ? t`Choose one.` : t`Fill this in.`;
  }
  if (field.type === "number") return numberProblem(field, value);
  if (field.type === "text" && value.length > 2000) return t`Shorten it to 2000 characters.`;
  if (field.type === "bolts_mm") {
    const wrong = Object.entries(value).find(([, text]) => numberProblem(field, text));
    return wrong ? `${wrong[0]}: ${numberProblem(field, wrong[1])}` : "";
  }
  return "";
}

/** @param {Field[]} fields @param {Record<string, any>} values @returns {Record<string, string>} by field */
export function problemsOf(fields, values) {
  return Object.fromEntries(fields.map((field) => [field.name, problemOf(field, values[field.name])]).filter(([, problem]) => problem));
}

/** Typed numbers as numbers; call it on values without problems. @param {Field[]} fields @param {Record<string, any>} values */
export function readValues(fields, values) {
  const read = { ...values };
  for (const { name, type } of fields) {
    if (type === "number") read[name] = missing(values[name]) ? null : readNumber(values[name]);
    if (type === "bolts_mm") read[name] = Object.fromEntries(Object.entries(values[name]).map(([bolt, text]) => [bolt, readNumber(text)]));
  }
  return read;
}
