/**
 * What can go wrong with the phone's own storage, in words for the person who holds it.
 * Saving fails loudly: a form that could not be kept must never look saved.
 */
import { t } from "../../shared/language.js";

const WORDS = /** @type {const} */ ({
  no_storage: t`This browser keeps nothing (private window, or storage switched off). Open Tautbook in a normal window.`,
  full: t`This phone's storage is full, so nothing was saved. Free some space, then save again.`,
  silent: t`The phone's storage does not answer. Close the app, open it again, then save again.`,
  other: t`This was saved already, with other values. Put right what was saved: tap it on the card.`,
  too_long: t`This entry is too long to send. Shorten the note, then save again.`,
  lost: t`The phone's storage was interrupted, so nothing was saved. Save again.`,
});

export class StoreError extends Error {
  /**
   * @param {keyof typeof WORDS} code
   * @param {unknown} [cause]
   */
  constructor(code, cause) {
    super(WORDS[code], { cause });
    this.name = "StoreError";
    this.code = code;
  }
}

const LOST = ["InvalidStateError", "UnknownError", "AbortError", "TransactionInactiveError"];

/** @param {unknown} error */
const nameOf = (error) => (error instanceof Error || error instanceof DOMException ? error.name : "");

/**
 * True when a new connection may help: iOS closes the database of an app in the background.
 *
 * @param {unknown} error
 */
export const connectionLost = (error) => LOST.includes(nameOf(error));

/**
 * @param {unknown} error as the browser gave it
 * @returns {unknown} the same trouble in words, if it is one a person can do something about
 */
export function worded(error) {
  if (nameOf(error) === "QuotaExceededError") return new StoreError("full", error);
  if (connectionLost(error)) return new StoreError("lost", error);
  return error;
}
