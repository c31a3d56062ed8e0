// Texts for people that nobody marked. A rule of thumb on purpose strict: what is none stands below.
import { walk } from "./sources.mjs";

/** @typedef {import("./sources.mjs").Source} Source @typedef {any} Node */

/** Not said to people, and why. */
const NONE = new Map(Object.entries({
  "Tautbook": "a name", "English": "a language in its own words", "Deutsch": "a language in its own words",
  "Apple": "a name", "Android": "a name", "Windows": "a name",
  "a[href], button, summary, [tabindex]": "a selector",
  "singular matrix": "caught where it is thrown",
  "None": "as the server's library writes it",
  "tautbook decoder": "a cache",
  "numbering lost": "a state of the store",
  "update needed": "a state of the outbox", "sign in": "a state of the outbox", "held: update needed": "a state of the outbox", "held: sign in": "a state of the outbox",
}));

/** Units and signs are the same in every language. */
const SAME = /N\/cm|cm³\/m²|[µmc]m\b|MPa|°C|\bmin\b|\bh\b|Tautbook/g;
/** Attributes whose words are for the program. */
const CODE = /^(class|type|key|role|href|id|d|name|kind|sort|style|tone|inputMode|autocomplete|autocapitalize|viewBox|transform|patternTransform|patternUnits|orient|fill|stroke|points|marker-end|data-.*|aria-(hidden|live|describedby|pressed|current)|enterkeyhint|scope|value|unit|question|of|word)$/;
/** Attributes that are said or shown. */
const SHOWN = /^(label|title|sub|hint|text|action|summary|placeholder|alt|aria-label|aria-description|aria-valuetext|leftName)$/;
/** Calls whose words are for the program. */
const CALLS = /^(?:.*\.)?(?:querySelector|querySelectorAll|closest|matches|test|replace|replaceAll|split|join|includes|startsWith|endsWith|addEventListener|removeEventListener|getPropertyValue|setAttribute|getAttribute|localeCompare|append|set|objectStore|index|transaction|createElement|matchMedia|fetch|post|ask|Number|get|list|name|go|swap|backTo|kick|noted)$/;

const letters = (/** @type {string} */ text) => /\p{L}{2,}/u.test(text.replace(SAME, ""));
/** Several words, or one with a capital, as labels have. */
const textLike = (/** @type {string} */ text) => letters(text) && (/\p{L}{2,}[,:.?!]? +[\p{L}“(]/u.test(text.replace(SAME, "")) || /^\p{Lu}\p{Ll}+[.:?…]?$/u.test(text.trim()));

/** @param {Source} source @returns {string[]} "file:line: the text" */
export function unmarked({ file, tree }) {
  if (file.endsWith("/numbers.js") || file === "src/shared/language.js") return [];
  /** @type {string[]} */ const found = [];
  walk(tree, (node, around) => {
    if (isCode(node, around)) return false;
    const text = textOf(node);
    if (text !== null && !NONE.has(text.trim()) && isSaid(node, around, text)) found.push(`${file}:${node.loc.start.line}: not marked: ${text.trim()}`);
  });
  return found;
}

/** @param {Node} node @returns {string | null} */
function textOf(node) {
  if (node.type === "JSXText") return node.value;
  if (node.type === "Literal" && typeof node.value === "string") return node.value;
  return node.type === "TemplateLiteral" ? node.quasis.map((/** @type {Node} */ part) => part.value.cooked).join("…") : null;
}

/** What is never said, with all that stands in it. @param {Node} node @param {Node[]} around */
function isCode(node, around) {
  const parent = around.at(-1);
  if (node.type === "ImportDeclaration" || node.type === "ImportExpression" || node.type === "ExportAllDeclaration") return true;
  if (node.type === "JSXAttribute") return CODE.test(node.name.name?.name ?? node.name.name);
  if (node.type === "NewExpression") return /(^|\.)(Error|RangeError|TypeError|DOMException|Request|Response|URL|Worker|Blob|BroadcastChannel)$/.test(named(node.callee));
  if (parent?.type === "TaggedTemplateExpression" && parent.quasi === node) return false;
  if (parent?.type === "Property" && parent.key === node) return true;
  return parent?.type === "MemberExpression" && parent.property === node && node.type === "Literal";
}

/** @param {Node} node @returns {string} */
const named = (node) => (node.type === "MemberExpression" ? `${named(node.object)}.${node.property.name ?? ""}` : node.name ?? "");

/** @param {Node} node @param {Node[]} around @param {string} text */
function isSaid(node, around, text) {
  const parent = around.at(-1);
  if (node.type === "JSXText") return letters(text);
  if (parent.type === "TaggedTemplateExpression" || parent.type === "SwitchCase" || isCompared(parent)) return false;
  if (parent.type === "CallExpression" && (CALLS.test(named(parent.callee)) || parent.callee.type === "Super")) return false;
  const attribute = attributeOf(around);
  if (attribute) return SHOWN.test(attribute) ? letters(text) : textLike(text);
  return isChild(around) ? letters(text) : textLike(text);
}

const isCompared = (/** @type {Node} */ node) => node.type === "BinaryExpression" && node.operator !== "+";

/** The attribute that the nearest element has this in. @param {Node[]} around @returns {string | null} */
function attributeOf(around) {
  const last = around.findLast((node) => node.type === "JSXAttribute" || node.type === "JSXElement" || /Function/.test(node.type));
  return last?.type === "JSXAttribute" ? last.name.name : null;
}

/** Shown as it stands between tags, perhaps one of two. @param {Node[]} around */
function isChild(around) {
  const inner = around.toReversed();
  const first = inner.find((node) => !["ConditionalExpression", "LogicalExpression"].includes(node.type));
  return first?.type === "JSXExpressionContainer" && inner[inner.indexOf(first) + 1]?.type !== "JSXAttribute";
}
