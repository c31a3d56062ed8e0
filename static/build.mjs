// Bundles the pages' sources into dist/. Django's manifest storage only hashes what lies there.
//   node build.mjs            build once, minified
//   node build.mjs --watch    build on every change, with source maps
//   node build.mjs --graph    print who imports whom as JSON and write nothing
import { copyFile, mkdir, rename, rm } from "node:fs/promises";
import { existsSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import * as esbuild from "esbuild";

const here = dirname(fileURLToPath(import.meta.url));
const entries = {
  phone: "src/phone/main.jsx",
  office: "src/office/main.js",
  chart: "src/phone/ui/plot.js",
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

/** Output name of an entry: `phone-css` becomes `phone.css`, the extension is the bundler's. */
const outName = (/** @type {string} */ name) => name.replace(/-css$/, "");

/** @returns {esbuild.BuildOptions[]} one set for code and one for styles, whose names overlap */
function options() {
  const shared = {
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
  const pick = (/** @type {boolean} */ styles) =>
    Object.entries(entries)
      .filter(([name]) => name.endsWith("-css") === styles)
      .map(([name, file]) => ({ out: outName(name), in: file }));
  return [
    {
      ...shared,
      entryPoints: pick(false),
      format: "iife",
      jsx: "automatic",
      jsxImportSource: "preact",
      legalComments: "none",
    },
    { ...shared, entryPoints: pick(true), external: ["*.svg", "*.png", "*.woff2"] },
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

async function graph() {
  const results = await Promise.all(options().map((one) => esbuild.build(one)));
  console.log(JSON.stringify(Object.assign({}, ...results.map((one) => one.metafile?.inputs))));
}

async function build() {
  try {
    await copy();
    await Promise.all(options().map((one) => esbuild.build(one)));
    await rm(join(here, "dist"), { recursive: true, force: true });
    await rename(out, join(here, "dist"));
  } finally {
    await rm(out, { recursive: true, force: true });
  }
}

async function watch() {
  await copy();
  for (const one of options()) await (await esbuild.context(one)).watch();
}

const absent = missing();
if (absent.length) {
  console.error(`Cannot build the pages: missing ${absent.join(", ")}.`);
  console.error("Packages are fetched by: npm ci (in static/). Sources belong to the repository.");
  process.exit(1);
}
await (mode === "--watch" ? watch() : mode === "--graph" ? graph() : build());
