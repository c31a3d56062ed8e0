// Works out [module, name, arguments] lists read from the standard input, for the test that compares them.
import { readFileSync } from "node:fs";

const SUMS = new URL("../../static/src/phone/sums/", import.meta.url);
const asked = JSON.parse(readFileSync(0, "utf-8"));
const modules = {};
for (const [module] of asked) modules[module] ??= await import(new URL(`${module}.js`, SUMS));
console.log(JSON.stringify(asked.map(([module, name, given]) => modules[module][name](...given))));
