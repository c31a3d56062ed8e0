/** What is printed beside every plan. */
import { said, t } from "../../../shared/language.js";
import { cautions as numbers } from "../numbers.js";
import { oneOf } from "./faults.js";

/** @param {string} where "bench" or "press" */
export function cautions(where) {
  oneOf("where", where, ["bench", "press"], t`Say where the bolts are turned`);
  const texts = where === "press" ? [...numbers.ALWAYS, ...numbers.ON_PRESS] : numbers.ALWAYS;
  return texts.map(said);
}
