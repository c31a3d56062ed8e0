// Keeps locale/*.po in step with the sources.
//   node locale/words.mjs                  write what the sources say, keep what is translated
//   node locale/words.mjs --check          change nothing, print what is wrong, fail if anything is
//   node locale/words.mjs --check FOLDER   the same for a folder that holds src/ and locale/
import { readFileSync, readdirSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { faults, read, renewed } from "./catalogue.mjs";
import { marked } from "./marked.mjs";
import { sourcesOf } from "./sources.mjs";
import { unmarked } from "./unmarked.mjs";

const check = process.argv[2] === "--check";
const folder = process.argv[3] ?? join(dirname(fileURLToPath(import.meta.url)), "..");
const sources = sourcesOf(folder);
const texts = sources.flatMap(marked);

/** One text cannot be two entries of a catalogue. */
const twice = texts
  .filter((one) => texts.some((other) => other.one === one.one && other.context === one.context && other.many !== one.many))
  .map(({ one, file }) => `${file}: once with plural, once without: ${one}`);

const wrong = [...new Set(twice), ...sources.flatMap(unmarked)];
for (const name of readdirSync(join(folder, "locale")).filter((one) => one.endsWith(".po"))) {
  const path = join(folder, "locale", name);
  const book = read(path);
  const content = renewed(book, texts);
  if (!check) writeFileSync(path, content);
  else if (content !== readFileSync(path, "utf-8")) wrong.push(`locale/${name}: not as the sources are; run npm run words`);
  wrong.push(...faults(check ? book : read(path)).map((fault) => `locale/${name}: ${fault}`));
}
for (const line of wrong) console.log(line);
process.exitCode = check && wrong.length > 0 ? 1 : 0;
