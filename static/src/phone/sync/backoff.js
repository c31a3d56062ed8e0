const FIRST_MS = 2_000;
const LONGEST_MS = 300_000;

/**
 * How long to wait after so many failures in a row: doubling up to five minutes, spread out so
 * that a shop full of phones does not come back all at once after a power cut.
 *
 * @param {number} failures 1, 2, 3 …
 * @param {() => number} random 0 up to 1
 * @returns {number} ms
 */
export function backoff(failures, random) {
  const longest = Math.min(LONGEST_MS, FIRST_MS * 2 ** Math.min(failures - 1, 20));
  return Math.round(longest * (0.5 + random() / 2));
}

const MOST_WAIT_MS = 3_600_000;

/**
 * @param {string|null} header Retry-After: seconds or an HTTP date
 * @param {number} now
 * @returns {number} ms, at most an hour; 0 if the header says nothing
 */
export function retryAfter(header, now) {
  const said = header?.trim() ?? "";
  const date = said.endsWith("GMT") ? Date.parse(said) - now : 0;
  const asked = /^\d+$/.test(said) ? Number(said) * 1000 : date;
  return Math.max(0, Math.min(asked || 0, MOST_WAIT_MS));
}
