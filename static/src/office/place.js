// Where somebody is on a page: what they type, which link has the focus, what they opened.

/** Whether the cursor stands in this part, or something in it was changed. @param {HTMLElement} part */
export function isTyping(part) {
  const focused = part.ownerDocument.activeElement;
  if (focused?.matches("input, select, textarea") && part.contains(focused)) return true;
  return [...part.querySelectorAll("input, select, textarea")].some(isChanged);
}

function isChanged(/** @type {Element} */ field) {
  if (field instanceof HTMLSelectElement) {
    const first = [...field.options].findIndex((option) => option.defaultSelected);
    return field.selectedIndex !== Math.max(first, 0);
  }
  if (field instanceof HTMLTextAreaElement) return field.value !== field.defaultValue;
  const input = /** @type {HTMLInputElement} */ (field);
  return input.value !== input.defaultValue || input.checked !== input.defaultChecked;
}

const STOPS = "a[href], button, summary, [tabindex]";

/**
 * Remembers focus and opened details; the answer gives them back after the part was replaced.
 * @param {HTMLElement} part
 */
export function holdPlace(part) {
  const stop = /** @type {HTMLElement | null} */ (part.ownerDocument.activeElement);
  const held = stop && part.contains(stop) ? { text: said(stop), nth: alike(part, said(stop)).indexOf(stop) } : null;
  const opened = [...part.querySelectorAll("details")].map((one) => one.open);
  return () => {
    part.querySelectorAll("details").forEach((one, index) => {
      one.open = opened[index] ?? one.open;
    });
    if (held) alike(part, held.text)[held.nth]?.focus({ preventScroll: true });
  };
}

const said = (/** @type {Element} */ stop) => `${stop.tagName} ${stop.textContent?.trim()}`;

const alike = (/** @type {HTMLElement} */ part, /** @type {string} */ text) =>
  /** @type {HTMLElement[]} */ ([...part.querySelectorAll(STOPS)]).filter((stop) => said(stop) === text);
