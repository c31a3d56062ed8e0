// Codes typed and scanned: the phone's twin of frames/codes.py on the shared vectors.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";

import { findTyped, readLabel, readToken } from "../../static/src/phone/views/labels.js";
import { CodeError, checkCharacter, formatCode, parseCode, scanTarget } from "../../static/src/shared/codes.js";

const { codes } = JSON.parse(readFileSync(new URL("../vectors/codes.json", import.meta.url), "utf8"));
const HERE = "https://shop.test";
const F417 = { prefix: "F", number: 417 };

test("codes are written and read as on the server", () => {
  assert.ok(codes.length > 10);
  for (const { prefix, number, code } of codes) {
    assert.equal(formatCode(prefix, number), code);
    assert.deepEqual(parseCode(code), { prefix, number });
  }
});

test("small letters, no hyphen and spaces are read all the same", () => {
  for (const text of ["F0417-N", "f0417n", " F 0417 - N "]) assert.deepEqual(parseCode(text), F417);
});

// ISO/IEC 7064: a single wrong character is always found by MOD 37,36.
test("every single wrong character is found", () => {
  const code = "F0417N";
  const alphabet = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";
  for (let at = 1; at < code.length; at += 1) {
    for (const other of alphabet.replace(code[at], "")) {
      assert.throws(() => parseCode(code.slice(0, at) + other + code.slice(at + 1)), CodeError);
    }
  }
});

// The GRid Standard v2.1 (IFPI) uses MOD 37,36; its example is A1-2425G-ABC1234002-M. From memory.
test("a published example of MOD 37,36 has its check character", () => {
  assert.equal(checkCharacter("A12425GABC1234002"), "M");
});

test("what cannot be a code says what to do", () => {
  assert.throws(() => parseCode("F0417"), { remedy: /Type the code as printed/ });
  assert.throws(() => parseCode("F0417-M"), { remedy: /One character is wrong/ });
  assert.throws(() => formatCode("FFFF", 1), { remedy: /1 to 3 letters/ });
});

test("a label's address is read in capitals too, and only when it is one", () => {
  assert.deepEqual(scanTarget("HTTPS://SHOP.TEST/F/F0417-N", HERE), { code: F417, other_host: null });
  assert.deepEqual(scanTarget("https://old.test/f/f0417n/", HERE), { code: F417, other_host: "old.test" });
  assert.deepEqual(scanTarget("F0417-N", HERE), { code: F417, other_host: null });
  for (const text of ["https://shop.test/office/", "javascript://x/f/F0417-N", "https://", "ftp://shop.test/f/F0417-N"]) {
    assert.throws(() => scanTarget(text, HERE), { remedy: /not a frame label/ });
  }
});

/** A phone that knows one frame, with a number of the shop's own. */
const knowing = {
  frameByCode: async (text) => (["F0417N", "OLD7"].includes(text.toUpperCase().replace(/[^A-Z0-9]/g, "")) ? { code: "F0417-N" } : null),
};

test("a typed code may be the shop's own number", async () => {
  assert.deepEqual(await findTyped(knowing, "old 7"), { code: "F0417-N" });
  assert.deepEqual(await findTyped(knowing, "F0007-O"), { code: "F0007-O" });
  assert.match((await findTyped(knowing, "hello")).problem, /Type the code as printed/);
});

test("F35: an old host's label is mapped to a frame this phone knows, another shop's is refused", async () => {
  assert.deepEqual(await readLabel(knowing, "HTTPS://SHOP.TEST/F/F0417-N", HERE), { code: "F0417-N" });
  assert.deepEqual(await readLabel(knowing, "https://old.test/f/F0417-N", HERE), { code: "F0417-N", foreign: "old.test" });
  assert.match((await readLabel(knowing, "https://other.test/f/F0007-O", HERE)).problem, /another shop/);
  assert.match((await readLabel(knowing, "https://other.test/", HERE)).problem, /not a frame label/);
});

test("the manager's symbol counts only for this shop", () => {
  assert.deepEqual(readToken("https://shop.test/e#abc", HERE), { token: "abc" });
  assert.match(readToken("https://evil.test/e#abc", HERE).problem, /belongs to evil.test/);
  assert.match(readToken("https://shop.test/f/F0417-N", HERE).problem, /not the manager/);
  assert.match(readToken("F0417-N", HERE).problem, /not the manager/);
});
