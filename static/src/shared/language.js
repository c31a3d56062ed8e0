/**
 * Texts in the reader's language. English stands in the sources and is the key of the catalogue;
 * where another language was asked for, its catalogue (built of locale/de.po) is on the page
 * before any other script, so that texts of modules are translated as well as those of views.
 */
const catalogue = /** @type {{language: string, texts: Record<string, string>} | undefined} */ (/** @type {any} */ (globalThis).tautbookCatalogue);

export const LANGUAGE = catalogue?.language ?? "en";

/** How dates and numbers are written: English as in the shop, whatever the browser's own. */
export const LOCALE = catalogue?.language ?? "en-GB";

const DECIMAL = new Intl.NumberFormat(LOCALE).format(0.5)[1];
const plural = new Intl.PluralRules(LOCALE);
/** Plural forms stand in this order in a catalogue. */
const FORMS = ["zero", "one", "two", "few", "many", "other"].filter((form) => plural.resolvedOptions().pluralCategories.includes(/** @type {any} */ (form)));

/** "0.5" with the reader's decimal sign. @param {number | string} value */
export const decimal = (value) => String(value).replace(".", DECIMAL);

/** The text of a key, for sentences that stand in data. @param {string} key */
export const said = (key) => catalogue?.texts[key] ?? key;

/** "Turn {0} by {1}" @param {TemplateStringsArray} strings */
const keyOf = (strings) => strings.reduce((key, part, i) => `${key}{${i - 1}}${part}`);

const written = (/** @type {any} */ value) => (typeof value === "number" ? decimal(value) : value);

/** @param {string} text @param {any[]} values @returns {any[]} */
const fill = (text, values) => text.split(/\{(\d)\}/).map((part, i) => (i % 2 ? written(values[Number(part)]) : part));

/** t`Turn ${bolt} by ${amount}`: the translator may put the values in another order. @param {TemplateStringsArray} strings @param {any[]} values */
export const t = (strings, ...values) => fill(said(keyOf(strings)), values).join("");

/** The same with elements among the values. @param {TemplateStringsArray} strings @param {any[]} values @returns {any} */
export const rich = (strings, ...values) => fill(said(keyOf(strings)), values);

/** n(3)`One bolt|# bolts`: the form that goes with the count, which stands where # is. @param {number} count */
export const n = (count) => (/** @type {TemplateStringsArray} */ strings, /** @type {any[]} */ ...values) => {
  const forms = said(keyOf(strings)).split("|");
  return fill((forms[FORMS.indexOf(plural.select(count))] ?? forms[1]).replace("#", decimal(count)), values).join("");
};

/** A text as part of a sentence: English puts its first letter low, German nouns keep theirs. @param {string | undefined} text */
export const low = (text = "") => (LANGUAGE === "en" ? text.charAt(0).toLowerCase() + text.slice(1) : text);

/** as("to check")`Check`: one English word that is two in other languages. @param {string} meaning */
export const as = (meaning) => (/** @type {TemplateStringsArray} */ [text]) => catalogue?.texts[`${meaning}\u0004${text}`] ?? text;
