/** Numbers as the shop floor writes and reads them. */
import { decimal, t } from "./language.js";

/** "21½", "22", "21.3", "½": tension with a half as a sign, N/cm. @param {number} value */
export function tensionText(value) {
  const tenth = Math.round(value * 10) / 10;
  const whole = Math.trunc(tenth);
  if (Math.abs(tenth - whole) !== 0.5) return decimal(tenth + 0);
  return `${tenth < 0 ? "-" : ""}${Math.abs(whole) || ""}½`;
}

/**
 * A typed number, with decimal comma or point, ½ allowed; null when it is not a number.
 * @param {string} text @returns {number | null}
 */
export function readNumber(text) {
  const plain = text.trim().replace("−", "-").replace(",", ".");
  const sign = plain.startsWith("-") ? -1 : 1;
  const half = plain.endsWith("½");
  const digits = plain.slice(sign < 0 ? 1 : 0, half ? -1 : undefined);
  if (half && digits === "") return sign * 0.5;
  // no more digits than a number keeps, so that none is beyond all numbers
  if (!/^(?:\d{1,12}(?:\.\d{0,15})?|\.\d{1,15})$/.test(digits)) return null;
  return sign * (Number(digits) + (half ? 0.5 : 0)) + 0;
}

const MM_PER_INCH = 25.4;

/** Inside size in the shop's unit: "100 × 80 cm", "39 × 31 in". @param {import("./types.js").Frame} frame */
export function sizeText(frame, unit = "mm") {
  const of = (/** @type {number} */ mm) => {
    const value = unit === "in" ? mm / MM_PER_INCH : mm / 10;
    return decimal(Math.round(value * 10) / 10);
  };
  const size = `${of(frame.inside_a_mm)} × ${of(frame.inside_b_mm)}`;
  return unit === "in" ? t`${size} in` : `${size} cm`;
}

/** Mesh in the words on its card: "77 threads/cm, 55 µm". @param {any} mesh */
export function meshText(mesh, unit = "cm") {
  const count = unit === "in" ? mesh.count_per_inch : mesh.count_per_cm;
  const other = unit === "in" ? mesh.count_per_cm : mesh.count_per_inch;
  const thread = mesh.thread_um ? `, ${mesh.thread_um} µm` : "";
  const threads = (/** @type {number} */ some, inches = false) => (inches ? t`${some} threads/in` : t`${some} threads/cm`) + thread;
  if (count) return threads(count, unit === "in");
  return other ? threads(other, unit !== "in") : mesh.name;
}

/** Short distance in the shop's unit. @param {number} mm */
export function distanceText(mm, unit = "mm") {
  return unit === "in" ? t`${decimal((mm / MM_PER_INCH).toFixed(3))} in` : `${decimal(mm)} mm`;
}

/** Unit of a short distance. */
export const distanceUnit = (unit = "mm") => (unit === "in" ? t`in` : unit);

/** What was typed in the shop's unit, in mm; null when it is not a number. @param {string} text @returns {number | null} */
export function readDistance(text, unit = "mm") {
  const value = readNumber(text);
  return value === null || unit !== "in" ? value : Math.round(value * MM_PER_INCH * 1000) / 1000;
}

/** 1900 as "1 900": a comma or point could be read as a decimal sign, so a narrow space. */
export const countText = (/** @type {number} */ n) => String(n).replace(/\B(?=(\d{3})+$)/g, "\u202f");
