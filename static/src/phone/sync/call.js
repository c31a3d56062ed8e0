import { t } from "../../shared/language.js";
import { retryAfter } from "./backoff.js";

const PATIENCE_MS = 45_000;
const GZIP_FROM_BYTES = 2_048;
const LATER = [408, 425, 429];

/**
 * @typedef {{type?: string, title: string, status: number, detail?: string,
 *   errors?: {field: string, value?: any, remedy?: string}[]}} ProblemBody RFC 9457
 *
 * @typedef {{kind: "answer", body: any, sent: Moment, got: Moment}} Answered
 * @typedef {{kind: "problem", status: number, body: ProblemBody}} Problematic our server's own no
 * @typedef {{kind: "trouble", why: string, wait_ms: number, heavy: boolean,
 *   too_large: boolean}} Trouble nobody's word: try later; heavy: less at once may get through
 * @typedef {{wall: number, mono: number}} Moment
 */

/** @param {string} why @param {Partial<Trouble>} [more] @returns {Trouble} */
const trouble = (why, more) =>
  ({ kind: "trouble", why, wait_ms: 0, heavy: false, too_large: false, ...more });

/**
 * Asks the server. Never rejects: whatever is not plainly our server's word is trouble.
 *
 * @param {{fetch: typeof globalThis.fetch, clock: import("../entries/types.js").Clock, patience?: number}} line
 */
export function callOn({ fetch, clock, patience = PATIENCE_MS }) {
  const moment = () => ({ wall: clock.now(), mono: clock.mono() });

  /**
   * @param {string} path
   * @param {{query?: Record<string, any>, body?: object}} what
   * @returns {Promise<Answered|Problematic|Trouble>}
   */
  return async function call(path, { query, body }) {
    const giveUp = new AbortController();
    /** @type {() => void} */
    let calm = () => {};
    const tooLate = new Promise((resolve) => {
      // A hanging upload ends here even where the browser cannot stop it.
      calm = clock.after(patience, () => {
        giveUp.abort();
        resolve(trouble(t`The server did not answer in time.`, { heavy: true }));
      });
    });
    const asked = exchange().catch(() => trouble(t`The server could not be reached.`));
    return Promise.race([asked, tooLate]).finally(calm);

    async function exchange() {
      const request = await requestOf(body);
      const sent = moment();
      const response = await fetch(address(path, query), { ...request, signal: giveUp.signal });
      const text = await response.text();
      return judged(response, text, sent, moment());
    }
  };
}

/** @param {string} path @param {Record<string, any>} [query] */
function address(path, query = {}) {
  const said = Object.entries(query).filter(([, value]) => value !== null && value !== undefined);
  const search = new URLSearchParams(said.map(([name, value]) => [name, String(value)]));
  return `/api/v1/${path}${said.length ? `?${search}` : ""}`;
}

/** @param {object|undefined} body @returns {Promise<RequestInit>} */
async function requestOf(body) {
  // A redirect is a portal or a proxy speaking, never our server.
  const shared = /** @type {const} */ ({
    credentials: "same-origin", redirect: "error", cache: "no-store",
  });
  const headers = { Accept: "application/json", "X-Tautbook": "1" };
  if (!body) return { ...shared, method: "GET", headers };
  const text = JSON.stringify(body);
  const typed = { ...headers, "Content-Type": "application/json" };
  if (text.length < GZIP_FROM_BYTES || typeof CompressionStream === "undefined") {
    return { ...shared, method: "POST", headers: typed, body: text };
  }
  const packed = new Blob([text]).stream().pipeThrough(new CompressionStream("gzip"));
  const bytes = await new Response(packed).arrayBuffer();
  const gzipped = { ...typed, "Content-Encoding": "gzip" };
  return { ...shared, method: "POST", headers: gzipped, body: bytes };
}

/**
 * @param {Response} response
 * @param {string} text
 * @param {Moment} sent
 * @param {Moment} got
 * @returns {Answered|Problematic|Trouble}
 */
function judged({ status, ok, headers }, text, sent, got) {
  const body = parsed(text);
  const wait_ms = retryAfter(headers.get("Retry-After"), got.wall);
  if (LATER.includes(status) || status >= 500) {
    return trouble(t`The server is busy or broken (${status}).`, { wait_ms, heavy: status >= 500 && !wait_ms });
  }
  if (ok && body) return { kind: "answer", body, sent, got };
  if (!ok && isProblem(body)) return { kind: "problem", status, body };
  const too_large = status === 413;
  return trouble(t`Something else answered in place of the server.`, { wait_ms, too_large, heavy: !ok });
}

/** @param {string} text @returns {any} an object, or null */
function parsed(text) {
  try {
    const body = JSON.parse(text);
    return body && typeof body === "object" && !Array.isArray(body) ? body : null;
  } catch {
    return null;
  }
}

/** @param {any} body */
const isProblem = (body) => typeof body?.title === "string" && Number.isInteger(body.status);
