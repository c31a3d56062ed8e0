/** What the forecast says, in one line of the card. */
import { whenText } from "../../../shared/ages.js";
import { LOCALE, t } from "../../../shared/language.js";

/** @param {string} at */
const day = (at) => new Date(at).toLocaleDateString(LOCALE, { day: "numeric", month: "short" });

/** "In tolerance until 3 Dec (27 Nov to 9 Dec)."; nothing where it is not sure. @param {any} until @param {number} now */
function holdsText({ at, early, late }, now) {
  const sure = early && Date.parse(early) > now ? early : null;
  if (!at) return sure ? t`In tolerance until ${day(sure)} or longer.` : "";
  if (Date.parse(at) <= now) return "";
  return sure && late ? t`In tolerance until ${day(at)} (${day(sure)} to ${day(late)}).` : t`In tolerance until ${day(at)}.`;
}

/** When to coat, if that lies ahead, and how long it holds. @param {any} forecast @param {number} now */
export function outlookText({ coat_from: coat, in_tolerance_until: until }, now) {
  const wait = coat.at && Date.parse(coat.at) > now ? t`Coat from ${whenText(coat.at, now)}.` : "";
  return [wait, holdsText(until, now)].filter(Boolean).join(" ");
}
