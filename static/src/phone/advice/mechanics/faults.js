/** Bad input, told so that a printer can put it right. */
import { t } from "../../../shared/language.js";
import { short } from "./text.js";

export class InputFault extends Error {
  /** @param {string} field with its unit @param {unknown} value @param {string} remedy */
  constructor(field, value, remedy) {
    super(t`${field} is ${value ?? "None"}. ${remedy}`);
    this.name = "InputFault";
    this.field = field;
    this.value = value;
    this.remedy = remedy;
  }
}

/** `value` if it is between `low` and `high`, both allowed. @param {string} field @param {unknown} value @param {number} low @param {number} high @param {string} what @returns {number} */
export function number(field, value, low, high, what) {
  const given = typeof value === "string" && !value.trim() ? NaN : value == null || typeof value === "object" ? NaN : Number(value);
  if (given >= low && given <= high) return given;
  throw new InputFault(field, value, t`${what}: a number from ${short(low)} to ${short(high)}.`);
}

/** @template T @param {string} field @param {T} value @param {readonly T[]} choices @param {string} what @returns {T} */
export function oneOf(field, value, choices, what) {
  if (choices.includes(value)) return value;
  throw new InputFault(field, value, t`${what}: one of ${choices.join(", ")}.`);
}
