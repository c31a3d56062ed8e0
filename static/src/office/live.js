// Keeps the parts of an open page that carry `data-live` as they are on the server. Asks for the
// feed's head; only when that moved, or `data-live-every` seconds have passed, is the page read
// again. A part in which somebody types is left alone until they are done.
import { t } from "../shared/language.js";
import { holdPlace, isTyping } from "./place.js";

const PULSE_MS = 4000;
const REREAD_S = 60;
const SIGNED_OUT = t`Signed out. Sign in again in another tab; what you typed stays here.`;
const NO_CONNECTION = t`No connection to Tautbook. This page may be out of date.`;
// The server must not take a page that only looks by itself for somebody who is still there.
const BY_ITSELF = { headers: { "X-By-Itself": "1" } };

/** @typedef {(part: ParentNode) => void} Mount */

/** @param {Document} page @param {Mount} mount draws what a replaced part holds */
export function keepFresh(page, mount) {
  const pulse = page.body.dataset.pulse;
  const parts = /** @type {HTMLElement[]} */ ([...page.querySelectorAll("[data-live]")]);
  if (!pulse || parts.length === 0) return;
  const served = new Map(parts.map((part) => [part, comparable(part)]));
  const every = 1000 * Math.min(...parts.map((part) => Number(part.dataset.liveEvery ?? REREAD_S)));
  let head = "";
  let read = Date.now();

  async function look() {
    const answer = await fetch(/** @type {string} */ (pulse), BY_ITSELF);
    if (answer.redirected || answer.status === 403) return tell(page, SIGNED_OUT);
    if (!answer.ok) return tell(page, NO_CONNECTION);
    tell(page, "");
    const now = (await answer.json()).head;
    // also true the first time: the log may have moved between the page and the first look
    const moved = now !== head;
    head = now;
    if (moved || Date.now() - read >= every) await reread();
  }

  async function reread() {
    read = Date.now();
    const sources = new Set(parts.map(source));
    for (const from of sources) {
      const fresh = await parsed(from);
      for (const part of parts.filter((one) => source(one) === from)) {
        const next = fresh?.getElementById(part.id);
        if (next && comparable(next) !== served.get(part) && !isTyping(part)) replace(part, next);
      }
    }
  }

  function replace(/** @type {HTMLElement} */ part, /** @type {HTMLElement} */ next) {
    const giveBack = holdPlace(part);
    served.set(part, comparable(next));
    part.replaceChildren(...next.childNodes);
    mount(part);
    giveBack();
  }

  setInterval(() => {
    if (!page.hidden) look().catch(() => tell(page, NO_CONNECTION));
  }, PULSE_MS);
}

const source = (/** @type {HTMLElement} */ part) => part.dataset.liveFrom ?? location.href;

async function parsed(/** @type {string} */ address) {
  const answer = await fetch(address, BY_ITSELF);
  if (!answer.ok || answer.redirected) return null;
  return new DOMParser().parseFromString(await answer.text(), "text/html");
}

/** What the server sent, without the tokens that differ every time. */
const comparable = (/** @type {Element} */ part) =>
  part.innerHTML.replace(/(name="csrfmiddlewaretoken" value=")[^"]*/g, "$1");

function tell(/** @type {Document} */ page, /** @type {string} */ text) {
  const line = page.getElementById("stale");
  if (!line || line.textContent === text) return;
  line.textContent = text;
  line.hidden = text === "";
}
