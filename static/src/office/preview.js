// Draws the bolts while their places are being typed.
import { readNumber } from "../shared/units.js";
import { draw } from "./drawings.js";

const SIDES = ["A", "B", "C", "D"];

/** @param {ParentNode} page */
export function previewBolts(page) {
  const form = /** @type {HTMLFormElement | null} */ (page.querySelector("form[data-bolts]"));
  const figure = /** @type {HTMLElement | null} */ (form?.querySelector("figure[data-drawing]"));
  if (!form || !figure) return;
  form.addEventListener("input", () => {
    const props = JSON.parse(figure.dataset.drawing ?? "{}");
    const frame = typed(form, props.frame);
    if (!frame) return;
    figure.dataset.drawing = JSON.stringify({ ...props, frame });
    draw(figure);
  });
}

/** The frame as typed so far, or null while its size cannot be read. */
function typed(/** @type {HTMLFormElement} */ form, /** @type {object} */ frame) {
  const text = (/** @type {string} */ name) =>
    /** @type {HTMLInputElement | null} */ (form.elements.namedItem(name))?.value ?? "";
  const perUnit = Number(form.dataset.bolts);
  const [a, b] = [(readNumber(text("inside_a_mm")) ?? 0) * perUnit, (readNumber(text("inside_b_mm")) ?? 0) * perUnit];
  if (!(a > 0 && b > 0)) return null;
  const bolts = Object.fromEntries(
    SIDES.map((side) => [side, places(text(`bolts_${side.toLowerCase()}`), side === "A" || side === "C" ? a : b)]),
  );
  return { ...frame, inside_a_mm: a, inside_b_mm: b, bolts };
}

function places(/** @type {string} */ text, /** @type {number} */ long) {
  const read = text.split(/[\s;]+/).map((part) => readNumber(part) ?? 0);
  return read.filter((mm) => mm > 0 && mm < long);
}
