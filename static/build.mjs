// Bundles the pages' sources into dist/. Django's manifest storage only hashes what lies there.
//   node build.mjs            build once, minified
//   node build.mjs --watch    build on every change, with source maps
//   node build.mjs --graph    print who imports whom as JSON and write nothing
import { copyFile, mkdir, readFile, readdir, rename, rm, writeFile } from "node:fs/promises";
import { existsSync } from "node:fs";
import { dirname, join, relative } from "node:path";
import { fileURLToPath } from "node:url";
import * as esbuild from "esbuild";
import { read, script } from "./locale/catalogue.mjs";

const here = dirname(fileURLToPath(import.meta.url));
const entries = {
  phone: "src/phone/main.jsx",
  office: "src/office/main.js",
  chart: "src/phone/ui/plot.js",
  advice: "src/phone/advice/index.js",
  later: "src/phone/later.js",
  "scan-worker": "src/phone/scan/worker.js",
  sw: "src/phone/sw.js",
  "phone-css": "src/css/phone.css",
  "office-css": "src/css/office.css",
};
// The library fetches this file by name at run time, so no bundler finds it.
const copies = { "node_modules/zxing-wasm/dist/reader/zxing_reader.wasm": "zxing_reader.wasm" };

const mode = process.argv[2] ?? "";
// A build goes to its own folder and takes the place of dist/ when whole.
const out = join(here, mode === "--watch" ? "dist" : `.dist-${process.pid}`);

// These run on a page where phone.js already is, and take from it what stands in its parts.js.
const later = ["later"];

/** Names in phone/parts.js: files under src/, and packages. */
async function parts() {
  const text = await readFile(join(here, "src/phone/parts.js"), "utf-8");
  return [...text.matchAll(/^ {2}"([^"]+)":/gm)].map(([, name]) => name);
}

/** @param {string[]} names @returns {esbuild.Plugin} */
const shared = (names) => ({
  name: "parts of phone.js",
  setup(build) {
    const files = new Set(names.filter((name) => /\.jsx?$/.test(name)));
    const packages = new Set(names.filter((name) => !files.has(name)));
    build.onResolve({ filter: /./ }, ({ path, resolveDir, kind }) => {
      if (kind === "entry-point") return undefined;
      const inside = relative(join(here, "src"), join(resolveDir, path)).replaceAll("\\", "/");
      const name = packages.has(path) ? path : files.has(inside) && path.startsWith(".") ? inside : null;
      return name ? { path: name, namespace: "parts" } : undefined;
    });
    build.onLoad({ filter: /./, namespace: "parts" }, ({ path }) => ({
      contents: `module.exports = globalThis.tautbookParts[${JSON.stringify(path)}];`,
    }));
  },
});

/** Output name of an entry: `phone-css` becomes `phone.css`, the extension is the bundler's. */
const outName = (/** @type {string} */ name) => name.replace(/-css$/, "");

/** @returns {Promise<esbuild.BuildOptions[]>} code, code that comes later, and styles, whose names overlap */
async function options() {
  const common = {
    absWorkingDir: here,
    outdir: out,
    bundle: true,
    minify: mode !== "--watch",
    sourcemap: mode === "--watch",
    metafile: true,
    write: mode !== "--graph",
    target: ["chrome109", "firefox115", "safari16"],
    logLevel: /** @type {const} */ (mode === "--graph" ? "error" : "info"),
  };
  const pick = (/** @type {(name: string) => boolean} */ wanted) =>
    Object.entries(entries)
      .filter(([name]) => wanted(name))
      .map(([name, file]) => ({ out: outName(name), in: file }));
  const styles = (/** @type {string} */ name) => name.endsWith("-css");
  const code = /** @type {const} */ ({ ...common, format: "iife", jsx: "automatic", jsxImportSource: "preact", legalComments: "none" });
  // Who imports whom is told as it stands in the sources.
  const plugins = mode === "--graph" ? [] : [shared(await parts())];
  return [
    { ...code, entryPoints: pick((name) => !styles(name) && !later.includes(name)) },
    { ...code, entryPoints: pick((name) => later.includes(name)), plugins },
    { ...common, entryPoints: pick(styles), external: ["*.svg", "*.png", "*.woff2"] },
  ];
}

function missing() {
  const wanted = [...Object.values(entries), ...Object.keys(copies)];
  return wanted.filter((file) => !existsSync(join(here, file)));
}

async function copy() {
  await mkdir(out, { recursive: true });
  for (const [from, to] of Object.entries(copies)) {
    await copyFile(join(here, from), join(out, to));
  }
}

/** Each language's texts as a script of their own: de.js. */
async function catalogues() {
  const books = (await readdir(join(here, "locale"))).filter((name) => name.endsWith(".po"));
  await Promise.all(books.map((name) => writeFile(join(out, name.replace(/po$/, "js")), script(read(join(here, "locale", name))))));
}

async function graph() {
  const results = await Promise.all((await options()).map((one) => esbuild.build(one)));
  console.log(JSON.stringify(Object.assign({}, ...results.map((one) => one.metafile?.inputs))));
}

async function build() {
  try {
    await copy();
    await catalogues();
    await Promise.all((await options()).map((one) => esbuild.build(one)));
    await rm(join(here, "dist"), { recursive: true, force: true });
    await rename(out, join(here, "dist"));
  } finally {
    await rm(out, { recursive: true, force: true });
  }
}

async function watch() {
  await copy();
  await catalogues();
  for (const one of await options()) await (await esbuild.context(one)).watch();
}

const absent = missing();
if (absent.length) {
  console.error(`Cannot build the pages: missing ${absent.join(", ")}.`);
  console.error("Packages are fetched by: npm ci (in static/). Sources belong to the repository.");
  process.exit(1);
}
await (mode === "--watch" ? watch() : mode === "--graph" ? graph() : build());
