/** What is printed beside every plan. */
import { cautions as numbers } from "../numbers.js";
import { oneOf } from "./faults.js";

/** @param {string} where "bench" or "press" */
export function cautions(where) {
  oneOf("where", where, ["bench", "press"], "Say where the bolts are turned");
  return where === "press" ? [...numbers.ALWAYS, ...numbers.ON_PRESS] : numbers.ALWAYS;
}
