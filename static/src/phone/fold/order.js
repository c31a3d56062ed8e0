import { correctedMs } from "../entries/time.js";
import { fits } from "./shapes.js";

/** @typedef {import("../entries/types.js").HeldEntry} HeldEntry */

const VERSION = 1;

/** @param {string} a @param {string} b */
const compare = (a, b) => (a < b ? -1 : a > b ? 1 : 0);

/**
 * The one order for folding and for people: the same on every phone and on the server.
 *
 * @param {HeldEntry} a
 * @param {HeldEntry} b
 */
export const inOrder = (a, b) =>
  correctedMs(a) - correctedMs(b) || compare(a.install_id, b.install_id) ||
  a.device_seq - b.device_seq || compare(a.id, b.id);

/** @param {HeldEntry} entry */
export const isAct = ({ kind }) => kind === "void" || kind === "correction";

/** @param {HeldEntry} act @returns {string} */
const targetOf = ({ kind, payload }) => (kind === "void" ? payload.voids : payload.corrects);

/** @param {HeldEntry[]} entries @returns {Map<string, HeldEntry>} each id once */
export const byId = (entries) => new Map(entries.map((one) => [one.id, one]));

/**
 * The last word about each entry: the void or correction that holds. A voided correction is out
 * of the running, and so is one that does not fit what it corrects; a void of a void does nothing.
 *
 * @param {Map<string, HeldEntry>} entries
 * @returns {Map<string, HeldEntry>} by the id of the entry spoken about
 */
export function lastWords(entries) {
  const acts = [...entries.values()].filter(isAct).sort(inOrder);
  const voided = new Set(acts.filter(({ kind }) => kind === "void").map(targetOf));
  const standing = acts.filter((act) => act.kind === "void" ||
    (!voided.has(act.id) && fits(entries.get(targetOf(act))?.kind ?? "", act.payload.payload)));
  return new Map(standing.map((act) => [targetOf(act), act]));
}

/**
 * @param {HeldEntry} entry
 * @param {HeldEntry|undefined} word
 * @returns {HeldEntry} as a correction leaves it
 */
export function amended(entry, word) {
  if (word?.kind !== "correction") return entry;
  const { frame, screen, occurred_at, payload } = word.payload;
  return { ...entry, frame, screen, occurred_at, payload };
}

/** @param {HeldEntry[]} entries those this app can read */
export const readable = (entries) =>
  entries.filter(({ kind, v, payload }) => v <= VERSION && fits(kind, payload));

/**
 * What is true after all voids and corrections, in order.
 *
 * @param {HeldEntry[]} entries in any order, doubles allowed
 * @returns {HeldEntry[]}
 */
export function effective(entries) {
  const all = byId(readable(entries));
  const words = lastWords(all);
  return [...all.values()]
    .filter((one) => !isAct(one) && words.get(one.id)?.kind !== "void")
    .map((one) => amended(one, words.get(one.id)))
    .sort(inOrder);
}
