// Texts in another language: the same module, loaded with and without a catalogue on the page.
import assert from "node:assert/strict";
import { test } from "node:test";

const MODULE = "../../static/src/shared/language.js";

/** @param {any} [catalogue] @returns {Promise<typeof import("../../static/src/shared/language.js")>} */
async function loaded(catalogue) {
  /** @type {any} */ (globalThis).tautbookCatalogue = catalogue;
  return import(`${MODULE}?${Math.random()}`);
}

const german = (/** @type {Record<string, string>} */ texts) => loaded({ language: "de", texts });

test("without a catalogue texts stand as they are written", async () => {
  const { t, n, rich, as, low, said, LANGUAGE, LOCALE } = await loaded();
  assert.equal(t`Turn ${"A3"} by ${0.5}`, "Turn A3 by 0.5");
  assert.deepEqual([0, 1, 2].map((count) => n(count)`One bolt|# bolts`), ["0 bolts", "One bolt", "2 bolts"]);
  assert.deepEqual(rich`Show ${7} to ${"him"}`, ["Show ", "7", " to ", "him", ""]);
  assert.equal(as("to do")`Check`, "Check");
  assert.equal(low("Retension"), "retension");
  assert.equal(said("Stand"), "Stand");
  assert.deepEqual([LANGUAGE, LOCALE], ["en", "en-GB"]);
});

test("a translation may put the values in another order, and numbers get its decimal sign", async () => {
  const { t, rich } = await german({ "Turn {0} by {1}": "Um {1} an {0} drehen" });
  assert.equal(t`Turn ${"A3"} by ${0.5}`, "Um 0,5 an A3 drehen");
  const bold = { type: "b" };
  assert.deepEqual(rich`Turn ${bold} by ${1.25}`, ["Um ", "1,25", " an ", bold, " drehen"]);
});

test("a count takes the form that its language wants, values keep their places", async () => {
  const { n } = await german({ "# bolt of {0}|# bolts of {1}": "# Schraube an {0}|# Schrauben an {1}" });
  assert.equal(n(1)`# bolt of ${"F1"}|# bolts of ${"F2"}`, "1 Schraube an F1");
  assert.equal(n(2)`# bolt of ${"F1"}|# bolts of ${"F2"}`, "2 Schrauben an F2");
  assert.equal(n(1.5)`# bolt of ${"F1"}|# bolts of ${"F2"}`, "1,5 Schrauben an F2");
});

test("forms stand in the order of their names where a language has more than two", async () => {
  // Counts of the CLDR's own samples for Polish: 1 is one, 2 few, 5 many, 1.5 other.
  const { n } = await loaded({ language: "pl", texts: { "# bolt|# bolts": "jedna|kilka|wiele|ułamek" } });
  assert.deepEqual([1, 2, 5, 1.5].map((count) => n(count)`# bolt|# bolts`), ["jedna", "kilka", "wiele", "ułamek"]);
});

test("what a catalogue lacks is said in English", async () => {
  const { t, n, as } = await german({ "noun\u0004Check": "Messung" });
  assert.equal(t`New ${1}`, "New 1");
  assert.equal(n(2)`One|# more`, "2 more");
  assert.equal(as("noun")`Check`, "Messung");
  assert.equal(as("verb")`Check`, "Check");
});

test("German nouns keep their capital inside a sentence", async () => {
  const { low } = await german({});
  assert.equal(low("Nachspannen"), "Nachspannen");
});

test("typed numbers are read with comma and point, and shown with the comma", async () => {
  /** @type {any} */ (globalThis).tautbookCatalogue = { language: "de", texts: {} };
  const { readNumber, tensionText } = await import("../../static/src/shared/units.js");
  assert.deepEqual(["0,35", "0.35", "21½"].map(readNumber), [0.35, 0.35, 21.5]);
  assert.equal(readNumber(tensionText(21.3)), 21.3);
  assert.equal(tensionText(21.3), "21,3");
});
