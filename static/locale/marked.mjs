// Texts that are marked for translation, as the catalogue knows them.
import { walk } from "./sources.mjs";

/**
 * @typedef {import("./sources.mjs").Source} Source
 * @typedef {{context: string, one: string, many: string | null, file: string}} Text  `many`: with plural
 */

const TAGS = ["t", "rich"];
const CURRIED = ["n", "as"];

/** "Turn {0} by {1}" @param {any} quasi */
const keyOf = ({ quasis }) => quasis.map((/** @type {any} */ part) => part.value.cooked).reduce((/** @type {string} */ key, /** @type {string} */ part, /** @type {number} */ i) => `${key}{${i - 1}}${part}`);

/** @param {Source} source @returns {Text[]} in the order in which they stand */
export function marked({ file, tree }) {
  if (file === DATA) return data(file, tree);
  /** @type {Text[]} */ const found = [];
  walk(tree, (node) => {
    if (node.type !== "TaggedTemplateExpression") return;
    const { tag, quasi } = node;
    const key = keyOf(quasi);
    if (TAGS.includes(tag.name)) found.push({ context: "", one: key, many: null, file });
    if (tag.type !== "CallExpression" || !CURRIED.includes(tag.callee.name)) return;
    if (tag.callee.name === "as") found.push({ context: tag.arguments[0].value, one: key, many: null, file });
    else found.push({ context: "", one: key.split("|")[0], many: key.split("|")[1] ?? "", file });
  });
  return found;
}

/** Written from Python; its sentences are said by `said(…)` where they are used. */
const DATA = "src/phone/advice/numbers.js";
/** Where in it: `["registering", "OUT"]` is `registering.OUT`. */
const SENTENCES = [
  ["adjusters", "Adjuster", "plus"], ["adjusters", "Adjuster", "minus"], ["adjusters", "Adjuster", "division"],
  ["corners", "WAYS"], ["cautions", "ALWAYS"], ["cautions", "ON_PRESS"], ["decomposition", "WORDS"], ["registering", "OUT"], ["tensioning", "STENCIL_ON"],
];

/** @param {string} file @param {any} tree @returns {Text[]} */
function data(file, tree) {
  /** @type {Text[]} */ const found = [];
  walk(tree, (node, around) => {
    if (node.type !== "Literal" || typeof node.value !== "string" || around.at(-1).key === node) return;
    const path = around.flatMap((one) => (one.type === "VariableDeclarator" ? [one.id.name] : one.type === "Property" ? [one.key.value] : []));
    if (SENTENCES.some((wanted) => wanted.every((name, i) => path[i] === name))) found.push({ context: "", one: node.value, many: null, file });
  });
  return found;
}
