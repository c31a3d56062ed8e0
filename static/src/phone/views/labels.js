/** What a typed or scanned text means in this shop. A text is only ever read, never opened as an address. */
import { formatCode, parseCode, scanTarget } from "../../shared/codes.js";
import { t } from "../../shared/language.js";

/**
 * The frame that a typed text means: a code, or the shop's own number on the frame.
 * @param {any} store @param {string} text @returns {Promise<{code?: string, problem?: string}>}
 */
export async function findTyped(store, text) {
  const known = await store.frameByCode(text);
  if (known) return { code: known.code };
  try {
    const { prefix, number } = parseCode(text);
    return { code: formatCode(prefix, number) };
  } catch (error) {
    return { problem: /** @type {Error} */ (error).message };
  }
}

/**
 * The frame that a scanned text means in this shop.
 * @param {any} store @param {string} text @param {string} origin
 * @returns {Promise<{code?: string, foreign?: string, problem?: string}>} `foreign`: a label made
 *   for another address, whose code this phone knows
 */
export async function readLabel(store, text, origin) {
  try {
    const { code, other_host } = scanTarget(text, origin);
    const name = formatCode(code.prefix, code.number);
    const known = await store.frameByCode(name);
    if (other_host && !known) return { problem: t`This label is from another shop (${other_host}). It names no frame of this one.` };
    return other_host ? { code: name, foreign: other_host } : { code: name };
  } catch (error) {
    return { problem: /** @type {any} */ (error).remedy ?? String(error) };
  }
}

const NOT_THE_SYMBOL = t`This is not the manager’s symbol. On the office screen: Phones, Add phone.`;

/** The token in a scanned address of this shop's own enrolment page. @param {string} text @param {string} origin @returns {{token?: string, problem?: string}} */
export function readToken(text, origin) {
  try {
    const seen = new URL(text);
    if (!/^\/e\/?$/i.test(seen.pathname) || seen.hash.length < 2) return { problem: NOT_THE_SYMBOL };
    if (seen.host !== new URL(origin).host) return { problem: t`This symbol belongs to ${seen.host}, but this app belongs to ${new URL(origin).host}.` };
    return { token: seen.hash.slice(1) };
  } catch {
    return { problem: NOT_THE_SYMBOL };
  }
}
