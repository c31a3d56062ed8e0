/** Times as people say them. `now` is passed in, so that a page reads the clock once. */
import { LOCALE, n, t } from "./language.js";

const MINUTE = 60_000;
const HOUR = 60 * MINUTE;
const DAY = 24 * HOUR;

/** "just now", "25 min", "3 h", "2 days", without "ago". @param {number} ms */
export function ageText(ms) {
  if (ms < MINUTE) return t`just now`;
  if (ms < HOUR) return `${Math.floor(ms / MINUTE)} min`;
  if (ms < DAY) return `${Math.floor(ms / HOUR)} h`;
  const { days, weeks, months } = long(ms);
  if (days < 14) return n(days)`# day|# days`;
  return days < 60 ? n(weeks)`# week|# weeks` : n(months)`# month|# months`;
}

/** @param {number} ms */
function long(ms) {
  const days = Math.floor(ms / DAY);
  return { days, weeks: Math.floor(days / 7), months: Math.floor(days / 30) };
}

/** "25 min ago"; a time ahead of the clock is "just now". @param {string | number | Date} at @param {number} now ms */
export function agoText(at, now) {
  const age = Math.max(0, now - new Date(at).getTime());
  if (age < MINUTE) return ageText(age);
  if (age < DAY) return t`${ageText(age)} ago`;
  const { days, weeks, months } = long(age);
  if (days < 14) return n(days)`# day ago|# days ago`;
  return days < 60 ? n(weeks)`# week ago|# weeks ago` : n(months)`# month ago|# months ago`;
}

/** "for 2 days": how long something has been so. @param {string | number | Date} at @param {number} now ms */
export function forText(at, now) {
  const age = Math.max(0, now - new Date(at).getTime());
  if (age < MINUTE) return ageText(age);
  if (age < DAY) return t`for ${ageText(age)}`;
  const { days, weeks, months } = long(age);
  if (days < 14) return n(days)`for # day|for # days`;
  return days < 60 ? n(weeks)`for # week|for # weeks` : n(months)`for # month|for # months`;
}

/** "10:42" of today, "Wed 14:05" within a week, else "12 Nov 2026". @param {string | number | Date} at @param {number} now ms */
export function whenText(at, now) {
  const date = new Date(at);
  const time = date.toLocaleTimeString(LOCALE, { hour: "2-digit", minute: "2-digit" });
  if (date.toDateString() === new Date(now).toDateString()) return time;
  if (Math.abs(now - date.getTime()) < 6 * DAY) {
    return `${date.toLocaleDateString(LOCALE, { weekday: "short" })} ${time}`;
  }
  return date.toLocaleDateString(LOCALE, { day: "numeric", month: "short", year: "numeric" });
}

/** Day and time in full, for a list of facts. @param {string | number | Date} at */
export function stampText(at) {
  return new Date(at).toLocaleString(LOCALE, { weekday: "short", day: "numeric", month: "short", year: "numeric", hour: "2-digit", minute: "2-digit" });
}
