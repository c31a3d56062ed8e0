// The sources as syntax trees, for what is looked for in them.
import { readFileSync, readdirSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";

// From where packages lie, also when the sources lie elsewhere.
const require = createRequire(new URL("../package.json", import.meta.url));
const reader = require("acorn").Parser.extend(require("acorn-jsx")());

/**
 * @typedef {any} Node
 * @typedef {{file: string, tree: Node}} Source  `file` as seen from the folder that holds src/
 */

/** @param {string} folder @returns {Source[]} by name */
export function sourcesOf(folder) {
  const names = /** @type {string[]} */ (readdirSync(join(folder, "src"), { recursive: true }));
  return names
    .map((name) => `src/${name.replaceAll("\\", "/")}`)
    .filter((file) => /\.jsx?$/.test(file))
    .sort()
    .map((file) => ({ file, tree: parsed(readFileSync(join(folder, file), "utf-8")) }));
}

const parsed = (/** @type {string} */ text) => reader.parse(text, { ecmaVersion: "latest", sourceType: "module", locations: true });

/** @param {Node} node */
const inside = (node) => Object.entries(node).flatMap(([key, value]) => (key === "loc" ? [] : [value].flat().filter((one) => one?.type)));

/** Every node with those around it, outermost first; what `visit` answers false to is not entered. @param {Node} node @param {(node: Node, around: Node[]) => unknown} visit @param {Node[]} [around] */
export function walk(node, visit, around = []) {
  if (visit(node, around) === false) return;
  for (const one of inside(node)) walk(one, visit, [...around, node]);
}
