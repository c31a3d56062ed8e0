// Takes the rows of a list chunk by chunk and shows how far it is. Without this file the button
// takes one chunk for each press.
import { t } from "../shared/language.js";

/** @param {Document} page */
export function takeLists(page) {
  const form = /** @type {HTMLFormElement | null} */ (page.querySelector("form[data-takes]"));
  form?.addEventListener("submit", (event) => {
    event.preventDefault();
    takeAll(form).catch(() => stop(form));
  });
}

async function takeAll(/** @type {HTMLFormElement} */ form) {
  const button = /** @type {HTMLButtonElement} */ (form.querySelector("button"));
  const bar = /** @type {HTMLProgressElement} */ (form.querySelector("progress"));
  button.disabled = true;
  bar.hidden = false;
  let now = { done: bar.value, of: bar.max, finished: false };
  while (!now.finished) {
    now = await takeSome(form);
    bar.max = now.of;
    bar.value = now.done;
    say(form, t`${now.done} of ${now.of} taken. Keep this page open.`);
  }
  location.reload();
}

/** @returns {Promise<{done: number, of: number, finished: boolean}>} */
async function takeSome(/** @type {HTMLFormElement} */ form) {
  const answer = await fetch(form.action, {
    method: "POST",
    body: new FormData(form),
    headers: { Accept: "application/json" },
  });
  if (!answer.ok || answer.redirected) throw new Error(`answered ${answer.status}`);
  return answer.json();
}

function stop(/** @type {HTMLFormElement} */ form) {
  const button = /** @type {HTMLButtonElement} */ (form.querySelector("button"));
  button.disabled = false;
  button.textContent = t`Go on`;
  say(form, t`No answer from Tautbook. What was taken stays; press Go on for the rest.`);
}

function say(/** @type {HTMLFormElement} */ form, /** @type {string} */ text) {
  const line = form.querySelector("[data-said]");
  if (line) line.textContent = text;
}
