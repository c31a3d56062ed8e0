import { t } from "../../shared/language.js";
import { meaning } from "./verdict.js";

/**
 * @typedef {import("./round.js").Line} Line
 * @typedef {import("./verdict.js").Outcome} Outcome
 * @typedef {import("../store/feed.js").Place} Place
 * @typedef {import("../store/feed.js").Item} Item
 */

const PAGE = 500;
const GONE = 410;

/**
 * Brings this phone up to the head of the server's feed.
 *
 * @param {Line} line
 * @returns {Promise<Outcome>} `again`: the server lost what it had acknowledged, push once more
 */
export async function pull(line) {
  for (;;) {
    const { place, acked, epoch: receipts, head } = await line.store.feed.place();
    if (!place) return snapshot(line);
    if (receipts && receipts !== place.epoch) return again(line);
    const result = await line.call("sync/changes", { query: await asked(line, place, acked, head) });
    if (result.kind === "problem" && result.status === GONE) return again(line);
    if (result.kind !== "answer") return stopped(result);
    const { changes, more, epoch, server_time } = result.body;
    if (!Array.isArray(changes) || epoch !== place.epoch || !server_time) return stopped(STRANGE);
    await line.learn(result);
    if (!follows(place, changes)) {
      await line.store.feed.forget();
      return { state: "waiting", why: t`The server left something out.`, wait_ms: 0 };
    }
    const last = changes.at(-1);
    if (!last) return { state: "done" };
    await line.store.feed.apply(place, { epoch, seq: last.seq, id: last.id }, changes.map(item));
    if (!more) return { state: "done" };
  }
}

/** @param {Line} line @returns {Promise<Outcome>} */
async function again({ store }) {
  await store.queue.sendAllAgain();
  return { state: "again" };
}

/** @param {Line} line @param {Place} place @param {string|null} acked @param {import("../store/queue.js").Head|null} head */
async function asked({ store }, { epoch, seq, id }, acked, head) {
  const { unsent, oldest_at } = await store.counts();
  return {
    epoch, after: seq, id, acked, head: head?.seq, head_id: head?.id, limit: PAGE, unsent,
    oldest_at: oldest_at && new Date(oldest_at).toISOString(),
  };
}

/** @param {Place} place @param {{seq: number}[]} changes no number may be missing */
const follows = ({ seq }, changes) => changes.every((change, n) => change.seq === seq + 1 + n);

/** @param {any} change @returns {Item} */
const item = ({ type, kind, object, body }) => ({ type, kind, object, body });

const STRANGE = /** @type {const} */ ({
  kind: "trouble", why: t`Something else answered in place of the server.`, wait_ms: 0,
});

/** @param {any} result @returns {Outcome} */
function stopped(result) {
  if (result.kind !== "problem") {
    const { why, wait_ms } = result.kind === "trouble" ? result : STRANGE;
    return { state: "waiting", why, wait_ms };
  }
  const { status, body } = result;
  const reason = meaning(status, body);
  if (reason === "unfit") return { state: "waiting", why: body.title, wait_ms: 0 };
  return { state: "held", reason, detail: body.detail ?? body.title };
}

/**
 * Takes everything anew and puts it in place at once, when the last page has come. The feed
 * goes on from where the first page was taken.
 *
 * @param {Line} line
 * @returns {Promise<Outcome>}
 */
async function snapshot(line) {
  /** @type {Item[]} */
  const items = [];
  /** @type {Place|null} */
  let to = null;
  for (let after = null; ; ) {
    const result = await line.call("sync/snapshot", { query: { after } });
    if (result.kind !== "answer") return stopped(result);
    const { epoch, seq, id, items: page, next } = result.body;
    if (!Array.isArray(page) || typeof epoch !== "string") return stopped(STRANGE);
    await line.learn(result);
    to ??= { epoch, seq, id };
    if (to.epoch !== epoch || to.seq !== seq || to.id !== id) return stopped(STRANGE);
    items.push(...page.map(item));
    if (!next) break;
    after = next;
  }
  await line.store.feed.replace(to, items);
  return pull(line);
}
