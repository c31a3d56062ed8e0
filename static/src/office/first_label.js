// Marks in the picture of a label sheet where printing begins and what is used already.
import { readNumber } from "../shared/units.js";

/** @param {ParentNode} page */
export function markFirstLabel(page) {
  const field = /** @type {HTMLInputElement | null} */ (page.querySelector("form.labels [name=start]"));
  if (!field) return;
  const mark = () => {
    const first = readNumber(field.value) ?? 1;
    for (const sheet of page.querySelectorAll("svg.counted")) {
      sheet.querySelectorAll("rect").forEach((label, index) => {
        label.classList.toggle("is-used", index + 1 < first);
        label.classList.toggle("is-first", index + 1 === first);
      });
    }
  };
  field.addEventListener("input", mark);
  mark();
}
