// Keeps the parts of an open page that carry `data-live` as they are on the server. Asks for the
// feed's head; only when it moved, or the page says so by `data-live-every` (seconds), is the page
// fetched again. A part in which somebody types is left alone until they are done.

const PULSE_MS = 4000;
const REREAD_S = 60;

/** @typedef {(part: ParentNode) => void} Mount */

/** @param {Document} page @param {Mount} mount */
export function keepFresh(page, mount) {
  const pulse = page.body.dataset.pulse;
  const parts = () => /** @type {NodeListOf<HTMLElement>} */ (page.querySelectorAll("[data-live]"));
  if (!pulse || parts().length === 0) return;
  const served = new WeakMap();
  for (const part of parts()) served.set(part, part.dataset.served ?? part.innerHTML);
  const every = 1000 * Number(page.querySelector("[data-live-every]")?.getAttribute("data-live-every") ?? REREAD_S);
  let head = "";
  let read = Date.now();

  async function look() {
    const answer = await fetch(pulse ?? "", { headers: { Accept: "application/json" } });
    if (answer.redirected || answer.status === 403) return say("Signed out. Open another tab to sign in; what you typed stays here.");
    if (!answer.ok) return;
    say("");
    const now = (await answer.json()).head;
    const moved = head !== "" && now !== head;
    head = now;
    if (moved || Date.now() - read > every) await reread();
  }

  async function reread() {
    const answer = await fetch(location.href);
    if (!answer.ok || answer.redirected) return;
    read = Date.now();
    const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
    for (const part of parts()) {
      const next = fresh.getElementById(part.id);
      if (next && next.innerHTML !== served.get(part) && !isTyping(part)) replace(part, next.innerHTML);
    }
  }

  function replace(/** @type {HTMLElement} */ part, /** @type {string} */ html) {
    const held = holdFocus(part);
    part.innerHTML = html;
    served.set(part, html);
    mount(part);
    held();
  }

  function say(/** @type {string} */ text) {
    const line = page.getElementById("stale");
    if (!line || line.textContent === text) return;
    line.textContent = text;
    line.hidden = text === "";
  }

  setInterval(() => {
    if (!page.hidden) look().catch(() => say("No connection to Tautbook. This page may be out of date."));
  }, PULSE_MS);
}

/** Whether somebody has put the cursor into this part, or changed something in it. */
function isTyping(/** @type {HTMLElement} */ part) {
  if (document.activeElement?.matches("input, select, textarea") && part.contains(document.activeElement)) return true;
  const fields = part.querySelectorAll("input, textarea, select");
  return [...fields].some((field) => {
    if (field instanceof HTMLSelectElement) return [...field.options].some((o) => o.selected !== o.defaultSelected);
    if (field instanceof HTMLTextAreaElement) return field.value !== field.defaultValue;
    const input = /** @type {HTMLInputElement} */ (field);
    return input.value !== input.defaultValue || input.checked !== input.defaultChecked;
  });
}

/** Remembers which link or button had the focus; the answer gives it back after the change. */
function holdFocus(/** @type {HTMLElement} */ part) {
  const focused = document.activeElement;
  if (!focused || !part.contains(focused)) return () => {};
  const key = focused.id ? `#${CSS.escape(focused.id)}` : focused.getAttribute("href") && `a[href="${CSS.escape(focused.getAttribute("href") ?? "")}"]`;
  return () => {
    if (key) /** @type {HTMLElement | null} */ (part.querySelector(key))?.focus({ preventScroll: true });
  };
}
