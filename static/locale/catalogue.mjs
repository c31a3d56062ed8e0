// A catalogue: what it should hold, what is wrong with it, and what browsers get of it.
import { readFileSync } from "node:fs";
import { po } from "gettext-parser";

/**
 * @typedef {import("./marked.mjs").Text} Text
 * @typedef {{msgctxt?: string, msgid: string, msgid_plural?: string, msgstr: string[], comments?: any}} Entry
 */

/** @param {string} file */
export const read = (file) => po.parse(readFileSync(file));

/** @param {any} book @returns {Entry[]} without the head */
const entriesOf = (book) => Object.values(book.translations).flatMap((one) => Object.values(one)).filter(({ msgid }) => msgid);

const nameOf = (/** @type {string} */ context, /** @type {string} */ text) => `${context}\u0004${text}`;

/**
 * The same texts as in the sources, in their order, with what was translated before.
 * @param {any} book @param {Text[]} texts @returns {string} the file's content
 */
export function renewed(book, texts) {
  const known = new Map(entriesOf(book).map((one) => [nameOf(one.msgctxt ?? "", one.msgid), one]));
  /** @type {Record<string, Record<string, any>>} */ const translations = { "": { "": book.translations[""][""] } };
  for (const { context, one, many, file } of texts) {
    const before = known.get(nameOf(context, one));
    const same = before && (before.msgid_plural ?? null) === many;
    const entry = ((translations[context] ??= {})[one] ??= {
      msgid: one,
      ...(context ? { msgctxt: context } : {}),
      ...(many === null ? {} : { msgid_plural: many }),
      msgstr: same ? before.msgstr : many === null ? [""] : ["", ""],
      comments: { ...(same && before.comments?.translator ? { translator: before.comments.translator } : {}), reference: "" },
    });
    const files = new Set(entry.comments.reference.split("\n").filter(Boolean)).add(file);
    entry.comments.reference = [...files].join("\n");
  }
  return `${po.compile({ ...book, translations }, { foldLength: 0 }).toString("utf-8").trimEnd()}\n`;
}

/** Placeholders of a text, sorted. @param {string} text */
const places = (text) => [...new Set(text.match(/\{\d\}|#/g))].sort().join(" ");

/** @param {any} book @returns {string[]} one line for each fault */
export function faults(book) {
  return entriesOf(book).flatMap(({ msgid, msgid_plural = null, msgstr, comments }) => {
    const said = (/** @type {string} */ fault) => [`${fault}: ${msgid}`];
    if (comments?.flag?.includes("fuzzy")) return said("fuzzy");
    if (msgstr.some((text) => !text) || msgstr.length !== (msgid_plural === null ? 1 : 2)) return said("not translated");
    const wanted = msgid_plural === null ? [msgid] : [msgid, msgid_plural];
    const plural = msgid_plural !== null;
    const differ = msgstr.some((text, i) => (plural ? places(text.replaceAll("#", "")) !== places(wanted[i].replaceAll("#", "")) : places(text) !== places(msgid)));
    return differ ? said("placeholders differ") : [];
  });
}

/** What a page has before its scripts run. @param {any} book */
export function script(book) {
  const texts = Object.fromEntries(entriesOf(book).filter(({ msgstr }) => msgstr.every(Boolean)).map((one) => [keyOf(one), one.msgstr.join("|")]));
  return `globalThis.tautbookCatalogue=${JSON.stringify({ language: book.headers.Language, texts })};\n`;
}

/** As the sources ask for it. @param {Entry} entry */
function keyOf({ msgctxt, msgid, msgid_plural }) {
  if (msgctxt) return nameOf(msgctxt, msgid);
  return msgid_plural ? `${msgid}|${msgid_plural}` : msgid;
}
