// Holds phones for a Python test: one JSON command a line in, one JSON answer a line out, each
// answer when it is there, so that phones can be made to do things at once.
import { createInterface } from "node:readline";
import { newPhone } from "./phone.mjs";

/** @type {Map<string, ReturnType<typeof newPhone>>} */
const phones = new Map();

// A promise that nobody waits for fails the test that caused it.
process.on("unhandledRejection", (error) => {
  process.stderr.write(`unhandled: ${error instanceof Error ? error.stack : error}\n`);
  process.exit(70);
});

async function obey({ phone, does, ...words }) {
  if (does === "new") {
    phones.set(phone, newPhone(words));
    return null;
  }
  const known = phones.get(phone)?.[does];
  if (!known) throw new Error(`phone ${phone} cannot ${does}`);
  return (await known(words)) ?? null;
}

async function answerTo(command) {
  const answer = await obey(command).then(
    (result) => ({ n: command.n, result }),
    (error) => ({ n: command.n, error: `${error.name}: ${error.message}`, code: error.code ?? null }),
  );
  process.stdout.write(`${JSON.stringify(answer)}\n`);
}

for await (const text of createInterface({ input: process.stdin })) answerTo(JSON.parse(text));
