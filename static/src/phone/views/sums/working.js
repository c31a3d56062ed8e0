/** From what is typed to what a sum answers. Pure. */
import { t } from "../../../shared/language.js";
import { problemsOf, readValues } from "../forms/reading.js";
import { shownNumber, shownValue, told, toSum, unitOf } from "./measure.js";

/** @typedef {import("./specs.js").Sum} Sum @typedef {import("./specs.js").Ground} Ground */

const CM_PER_INCH = 2.54;

/** A frame's card as sums want it. @param {any} card @param {any} things @returns {Ground} */
export function groundOf(card, things) {
  const screen = card?.screen && !card.screen.ended ? card.screen : null;
  const mesh = screen && things.get("mesh", screen.mesh);
  const count = mesh && (mesh.count_per_cm ?? (mesh.count_per_inch ? mesh.count_per_inch / CM_PER_INCH : null));
  return { frame: card?.thing ?? null, screen, mesh: mesh ? { ...mesh, count } : null };
}

/** What the fields hold at first. @param {Sum} sum @param {Ground} ground @param {any} shop @returns {Record<string, string>} */
export function startOf(sum, ground, shop) {
  const first = (/** @type {import("./specs.js").Ask} */ ask) => {
    const value = ask.from?.(ground) ?? ask.start ?? null;
    return value === null || !ask.measure ? (value ?? "") : shownNumber(value, ask.measure, shop);
  };
  return Object.fromEntries(sum.asks.map((ask) => [ask.name, first(ask)]));
}

/** The fields that are asked now, as forms have them. @param {Sum} sum @param {any} values @param {any} shop */
export function fieldsOf(sum, values, shop) {
  return sum.asks
    .filter((ask) => !ask.when || ask.when(values))
    .map(({ measure, least, most, options, ...ask }) => {
      if (!measure) return { ...ask, type: /** @type {const} */ ("choice"), options };
      const bound = (/** @type {number | undefined} */ value) => (value === undefined ? undefined : shownValue(value, measure, shop));
      const label = ask.optional ? t`${ask.label} (if known)` : ask.label;
      return { ...ask, label, type: /** @type {const} */ ("number"), unit: unitOf(measure, shop), least: bound(least), most: bound(most) };
    });
}

/**
 * @param {Sum} sum @param {any} values  as typed @param {Ground} ground @param {any} shop
 * @returns {{problems: Record<string, string>, complete: boolean, trouble?: string, said?: string, lines: {label: string, text: string}[]}}
 */
export function work(sum, values, ground, shop) {
  const fields = /** @type {any[]} */ (fieldsOf(sum, values, shop));
  const problems = problemsOf(fields, values);
  if (Object.keys(problems).length) return { problems, complete: false, lines: [] };
  const read = readValues(fields, values);
  for (const { name, measure } of sum.asks) if (measure && typeof read[name] === "number") read[name] = toSum(read[name], measure, shop);
  const { trouble, said, lines = [] } = sum.answer(read, ground);
  const text = (/** @type {any} */ [label, value, measure]) => ({ label, text: typeof value === "string" ? value : told(value, measure, shop) });
  return { problems, complete: true, trouble, said, lines: lines.filter(Boolean).map(text) };
}
