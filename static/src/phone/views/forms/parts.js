/** Pieces that several forms are made of. */
import { t } from "../../../shared/language.js";

/** @type {import("./specs.js").Field} */
export const NOTE_FIELD = { name: "note", type: "text", label: t`Note`, optional: true };

/**
 * A form that asks for no more than a note.
 * @param {string} title @param {(keyof typeof import("../../../shared/cautions.js").CAUTIONS)[]} [cautions]
 * @returns {import("./specs.js").Spec}
 */
export const noted = (title, cautions = []) => ({
  title,
  caution: () => cautions,
  start: () => ({ note: "" }),
  fields: () => [NOTE_FIELD],
  payload: ({ note }) => ({ note: note.trim() }),
});

/** Jobs still to be printed, the next due first. @param {any} things */
export const openJobs = (things) =>
  things
    .list("job")
    .filter((/** @type {any} */ job) => !job.done)
    .sort((/** @type {any} */ one, /** @type {any} */ two) => String(one.due ?? "9999").localeCompare(String(two.due ?? "9999")))
    .map((/** @type {any} */ job) => ({ value: job.id, text: job.number, sub: job.title }));

/** @param {any[]} list */
export const named = (list) => list.map((one) => ({ value: one.id, text: one.name }));
