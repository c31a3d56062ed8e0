/** Numbers as the library writes them: rounded from their exact value, halves to even. */
import { decimal } from "../../../shared/language.js";

/** @param {number} x @param {number} digits */
export function rounded(x, digits) {
  if (!isHalf(x, digits)) return Number(x.toFixed(digits)) + 0;
  const low = Math.floor(x * 10 ** digits);
  return (low % 2 ? low + 1 : low) / 10 ** digits + 0;
}

/** A binary number lies between two decimals only if it is an odd multiple of 1 / 2^(digits + 1). @param {number} x @param {number} digits */
const isHalf = (x, digits) => Math.abs((x * 2 ** (digits + 1)) % 2) === 1;

/** With so many decimals. @param {number} x @param {number} digits */
export const fixed = (x, digits) => decimal((isHalf(x, digits) ? rounded(x, digits) : x).toFixed(digits));

/** The same with its sign, where what rounds to nothing is no loss. @param {number} x @param {number} digits */
export const signed = (x, digits) => (rounded(x, digits) < 0 ? fixed(x, digits) : `+${fixed(Math.max(x, 0), digits)}`);

/** With six digits that count and no zeros at the end. @param {number} x */
export function short(x) {
  const [digits, power] = x.toExponential(5).split("e");
  const exponent = Number(power);
  if (exponent >= -4 && exponent < 6) return decimal(Number(x.toPrecision(6)));
  const sign = exponent < 0 ? "-" : "+";
  return `${decimal(Number(digits))}e${sign}${String(Math.abs(exponent)).padStart(2, "0")}`;
}
