// Prints every JavaScript function longer than the limit: node function_lengths.mjs LIMIT FILE…
// Functions inside it count for themselves: one that only holds others is what a class is elsewhere.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";

const require = createRequire(new URL("../static/package.json", import.meta.url));
const { Parser } = require("acorn");
const reader = Parser.extend(require("acorn-jsx")());

const [limit, ...files] = process.argv.slice(2);
const kinds = new Set(["FunctionDeclaration", "FunctionExpression", "ArrowFunctionExpression"]);

const lines = (/** @type {any} */ node) => node.loc.end.line - node.loc.start.line + 1;

/** Functions that lie directly inside a node. @param {any} node @returns {any[]} */
function inside(node) {
  const parts = Array.isArray(node) ? node : Object.values(node);
  return parts
    .filter((one) => one && typeof one === "object" && !(one instanceof RegExp))
    .flatMap((one) => (kinds.has(one.type) ? [one] : inside(one)));
}

/** @param {any} node @param {string} file */
function report(node, file) {
  for (const one of inside(node)) {
    const within = inside(one).reduce((sum, nested) => sum + lines(nested) - 1, 0);
    const length = lines(one) - within;
    if (length > Number(limit)) console.log(`${file}:${one.loc.start.line}: ${length} lines`);
    report(one, file);
  }
}

for (const file of files) {
  const source = readFileSync(file, "utf8");
  const reading = { ecmaVersion: "latest", sourceType: "module", locations: true };
  report(reader.parse(source, reading), file);
}
