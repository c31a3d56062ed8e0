// Prints every JavaScript function longer than the limit: node function_lengths.mjs LIMIT FILE…
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";

const require = createRequire(new URL("../static/package.json", import.meta.url));
const { Parser } = require("acorn");
const reader = Parser.extend(require("acorn-jsx")());

const [limit, ...files] = process.argv.slice(2);
const kinds = new Set(["FunctionDeclaration", "FunctionExpression", "ArrowFunctionExpression"]);

/** @param {any} node @param {(node: any) => void} visit */
function walk(node, visit) {
  if (Array.isArray(node)) node.forEach((one) => walk(one, visit));
  else if (node && typeof node.type === "string") {
    visit(node);
    Object.values(node).forEach((one) => walk(one, visit));
  }
}

for (const file of files) {
  const source = readFileSync(file, "utf8");
  const tree = reader.parse(source, { ecmaVersion: "latest", sourceType: "module", locations: true });
  walk(tree, (node) => {
    const length = kinds.has(node.type) ? node.loc.end.line - node.loc.start.line + 1 : 0;
    if (length > Number(limit)) console.log(`${file}:${node.loc.start.line}: ${length} lines`);
  });
}
