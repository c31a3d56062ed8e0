/**
 * Frame codes such as `F0417-N`: prefix, number and one check character by ISO/IEC 7064 MOD 37,36.
 * Twin of `frames/codes.py`, held to the same vectors.
 */
import { t } from "./language.js";

const ALPHABET = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";
const SHAPE = /^([A-Z]{1,3})(\d{4,9})-?([0-9A-Z])$/;
const LABEL_PATH = /^\/f\/([^/]+)\/?$/i;

const NOT_A_CODE = t`Type the code as printed, for example F0417-N.`;
const WRONG_CHARACTER = t`One character is wrong: compare it with the label again.`;
const NOT_A_LABEL = t`This is not a frame label: scan a label of a frame.`;

/** What is wrong with a code, in words for the one who typed or scanned it. */
export class CodeError extends Error {
  /** @param {string} field @param {string | number} value @param {string} remedy */
  constructor(field, value, remedy) {
    super(remedy);
    this.field = field;
    this.value = value;
    this.remedy = remedy;
  }
}

/** Check character of digits and capital letters. @param {string} text */
export function checkCharacter(text) {
  let product = 36;
  for (const character of text) {
    const sum = (product + ALPHABET.indexOf(character)) % 36 || 36;
    product = (sum * 2) % 37;
  }
  return ALPHABET[(37 - product) % 36];
}

/** "F", 417 → "F0417-N". @param {string} prefix @param {number} number */
export function formatCode(prefix, number) {
  const body = prefix + String(number).padStart(4, "0");
  const code = `${body}-${checkCharacter(body)}`;
  if (!SHAPE.test(code)) {
    throw new CodeError("number", number, t`Use 1 to 3 letters and a number from 0 to 999999999.`);
  }
  return code;
}

/**
 * Read a code in any case, with or without hyphen and spaces.
 * @param {string} text @returns {{prefix: string, number: number}} throws CodeError
 */
export function parseCode(text) {
  const match = SHAPE.exec(text.replace(/\s/g, "").toUpperCase());
  if (!match) throw new CodeError("code", text, NOT_A_CODE);
  const [, prefix, digits, check] = match;
  if (checkCharacter(prefix + digits) !== check) throw new CodeError("code", text, WRONG_CHARACTER);
  return { prefix, number: Number(digits) };
}

/** Address of a label, or null; a text is only ever read as one, never opened. @param {string} text */
function labelAddress(text) {
  try {
    const seen = new URL(text.trim());
    const match = LABEL_PATH.exec(seen.pathname);
    if (!match || !/^https?:$/.test(seen.protocol)) return null;
    return { host: seen.host, code: decodeURIComponent(match[1]) };
  } catch {
    return null;
  }
}

/**
 * What a scanned text means here: a label's address on any host, or a bare code.
 * @param {string} text @param {string} origin of this shop
 * @returns {{code: {prefix: string, number: number}, other_host: string | null}} throws CodeError;
 *   `other_host` is set when the label was made for another address
 */
export function scanTarget(text, origin) {
  if (!text.includes("://")) return { code: parseCode(text), other_host: null };
  const seen = labelAddress(text);
  if (!seen) throw new CodeError("code", text, NOT_A_LABEL);
  const elsewhere = seen.host !== new URL(origin).host;
  return { code: parseCode(seen.code), other_host: elsewhere ? seen.host : null };
}
