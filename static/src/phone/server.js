/** The few questions a page asks the server itself; entries and their answers are sync's. */
import { t } from "../shared/language.js";

/** An answer in words for the reader, from a problem body or from the lack of one. */
export class ServerError extends Error {
  /** @param {string} text @param {number} status */
  constructor(text, status) {
    super(text);
    this.status = status;
  }
}

const NO_ANSWER = t`The server does not answer. Check that this phone is on the shop's network, then try again.`;

/** @param {{fetch: typeof globalThis.fetch, base?: string}} ground */
export function createServer({ fetch, base = "/api/v1" }) {
  /** @param {string} path @param {any} [body] */
  async function ask(path, body) {
    const post = body === undefined ? {} : { method: "POST", body: JSON.stringify(body) };
    const headers = { "X-Tautbook": "1", ...(body === undefined ? {} : { "Content-Type": "application/json" }) };
    const answer = await fetch(`${base}/${path}`, { ...post, headers, credentials: "same-origin" }).catch(() => null);
    const read = await answer?.json().catch(() => null);
    if (!answer || !read) throw new ServerError(NO_ANSWER, answer?.status ?? 0);
    if (!answer.ok) throw new ServerError(problemText(read), answer.status);
    return read;
  }

  return {
    me: () => ask("me"),
    /** Keeps this phone's language; "" is the shop's. @param {string} language */
    async speak(language) {
      const answer = await fetch("/language/", { method: "POST", body: new URLSearchParams({ language }), credentials: "same-origin" }).catch(() => null);
      if (!answer?.ok) throw new ServerError(NO_ANSWER, answer?.status ?? 0);
    },
    /** @param {{token?: string, code?: string, install_id: string, about: string}} claim */
    claim: (claim) => ask("enrol/claim", claim),
    /** @param {string} claim */
    poll: (claim) => ask("enrol/poll", { claim }),
    /** @param {string} frame @param {string | null} before */
    olderEntries: (frame, before) => ask(`frames/${frame}/entries${before ? `?before=${encodeURIComponent(before)}` : ""}`),
  };
}

/** What a problem says, with the remedy of its first field. @param {any} problem */
function problemText(problem) {
  const first = problem.errors?.[0];
  return [problem.detail ?? problem.title, first?.remedy].filter(Boolean).join(" ");
}
