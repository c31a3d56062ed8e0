import { t } from "../../shared/language.js";
import { MISMATCH, heldState, meaning, problemOf } from "./verdict.js";

/**
 * @typedef {import("./round.js").Line} Line
 * @typedef {import("./call.js").ProblemBody} ProblemBody
 * @typedef {import("./verdict.js").Outcome} Outcome
 * @typedef {import("../store/queue.js").Head} Head
 * @typedef {Omit<import("./call.js").Answered, "kind"> & {kind: "receipts", agreed: Head|null}} Received
 *   agreed: the head that was sent along
 * @typedef {Received|import("./call.js").Problematic|import("./call.js").Trouble} Posted
 * @typedef {import("../store/record.js").OutboxRecord} OutboxRecord
 */

const PROTOCOL = 1;
const MOST_ENTRIES = 100;
// The server takes 256 KB; what goes around the entries needs some of it.
const MOST_BYTES = 250_000;
// A body can be damaged on its way, so that an entry is at fault is only believed the fifth time.
const REJECTIONS_BEFORE_REFUSED = 5;

/** @type {Outcome} */
const DONE = { state: "done" };

/** @param {string} why @param {number} [wait_ms] @param {boolean} [lone] @returns {Outcome} */
const waiting = (why, wait_ms = 0, lone = false) => ({ state: "waiting", why, wait_ms, lone });

/** Runs work when it is first asked for; whoever asks again gets the same. @param {() => Promise<any>} work */
function once(work) {
  /** @type {Promise<any>|null} */
  let running = null;
  return () => (running ??= work());
}

/**
 * Sends what is queued, batch by batch, until nothing is left or something stands in the way.
 *
 * @param {Line} line
 * @param {boolean} alone no other tab can be sending
 * @returns {Promise<Outcome>}
 */
export async function push(line, alone) {
  const said = { write: once(async () => {}) };
  return drain(line, alone, said).finally(() => said.write());
}

/**
 * What the server said about a batch is written down while the next one is on its way: one request
 * at a time, never more than one answer unwritten. A tab that dies then leaves both batches leased,
 * and both are sent again.
 *
 * @param {Line} line
 * @param {boolean} alone
 * @param {{write: () => Promise<any>}} said writes down what was said about the batch before
 * @returns {Promise<Outcome>}
 */
async function drain(line, alone, said) {
  for (let again = false, next = false; ; next = true) {
    const claim = { limit: line.pace.limit, bytes: MOST_BYTES, alone, next };
    const batch = await line.store.queue.claim(claim);
    if (!batch.length) return DONE;
    // Asked first, as what it reads of the store would have to wait for the writing.
    const asked = post(line, batch);
    const written = said.write();
    written.catch(() => {});
    const result = await asked;
    // What was said first is written first: this answer may ask for all that is stored by then.
    await written;
    const plain = result.kind === "receipts" && isPlain(batch, result.body);
    if (plain) said.write = once(() => take(line, batch, result));
    const outcome = plain ? DONE : await conclude(line, batch, result);
    if (outcome.state === "done") continue;
    if (outcome.state !== "again") return outcome;
    // Asked twice in one go, the server contradicts itself: let it rest.
    if (again) return waiting(t`The server asks for everything again and again.`);
    again = true;
  }
}

/** @param {Line} line @param {OutboxRecord[]} batch */
const send = async (line, batch) => conclude(line, batch, await post(line, batch));

/**
 * Whatever came of sending a batch, each entry is back in a state that outlives this tab.
 *
 * @param {Line} line
 * @param {OutboxRecord[]} batch
 * @param {Posted} result
 * @returns {Promise<Outcome>}
 */
async function conclude(line, batch, result) {
  const { store, pace } = line;
  if (result.kind === "receipts") return take(line, batch, result);
  if (result.kind === "problem") return rejected(line, batch, result);
  if (result.too_large && batch.length > 1) return halve(line, batch);
  if (result.heavy) pace.limit = Math.max(1, Math.floor(Math.min(pace.limit, batch.length) / 2));
  await store.queue.release(batch.map(({ id }) => id), "waiting", null, result.heavy ? "perhaps" : "no");
  return waiting(result.why, result.wait_ms);
}

/** @param {Line} line @param {OutboxRecord[]} batch @returns {Promise<Posted>} */
async function post(line, batch) {
  const asked = await bodyOf(line, batch);
  const result = await line.call("sync/push", { body: asked });
  if (result.kind !== "answer") return result;
  const { protocol, receipts, server_time, epoch } = result.body;
  const told = typeof server_time === "string" && typeof epoch === "string";
  if (protocol === PROTOCOL && Array.isArray(receipts) && told) {
    if (batch.length) line.pace.limit = Math.min(MOST_ENTRIES, line.pace.limit * 2);
    return { ...result, kind: "receipts", agreed: asked.head };
  }
  if (Number.isInteger(protocol) && protocol !== PROTOCOL) {
    return { kind: "problem", status: MISMATCH.status, body: MISMATCH };
  }
  const why = t`Something else answered in place of the server.`;
  return { kind: "trouble", why, wait_ms: 0, heavy: false, too_large: false };
}

/** @param {Line} line @param {OutboxRecord[]} batch */
async function bodyOf({ store, clock }, batch) {
  const [{ place, acked, epoch, head }, { unsent, oldest_at, refused }, install = store.install] =
    await Promise.all([store.feed.place(), store.counts(), store.meta.get("install")]);
  return {
    protocol: PROTOCOL,
    install_id: install.id,
    install,
    phone_time: new Date(clock.now()).toISOString(),
    epoch: epoch ?? place?.epoch ?? null,
    head: furthest(head, place),
    acked,
    outbox: { unsent, oldest_at: oldest_at && new Date(oldest_at).toISOString(), refused },
    entries: batch.map(({ entry }) => entry),
  };
}

/** The later of two changes known of, which stands for all before it. @param {Head|null} told @param {Head|null} place @returns {Head|null} */
function furthest(told, place) {
  const one = told && place ? (told.seq > place.seq ? told : place) : (told ?? place);
  return one && { seq: one.seq, id: one.id };
}

/** @param {Pick<Received, "body"|"agreed">} result @returns {import("../store/queue.js").Server} */
const serverOf = ({ body: { server_time, epoch, head }, agreed }) =>
  ({ at: Date.parse(server_time), epoch, head: headOf(head), agreed });

/** @param {any} head @returns {Head|null} */
const headOf = (head) =>
  Number.isInteger(head?.seq) && typeof head.id === "string" ? { seq: head.seq, id: head.id } : null;

const SETTLED = ["stored", "duplicate", "refused"];

/** @param {OutboxRecord[]} batch @param {any} body receipts name entries by id, or by place where an entry had no readable id */
function receiptsOf(batch, { receipts }) {
  const known = receipts.filter((/** @type {any} */ one) => SETTLED.includes(one?.status));
  const byId = new Map(known.map((/** @type {any} */ one) => [one.id, one]));
  const nameless = known.filter((/** @type {any} */ one) => one.id === null);
  return batch.map(({ id }, place) => ({
    id,
    receipt: byId.get(id) ?? nameless.find((/** @type {any} */ one) => one.place === place),
  }));
}

/** Every entry has its receipt and nothing more is asked. @param {OutboxRecord[]} batch @param {any} body */
const isPlain = (batch, body) =>
  body.resend !== true && receiptsOf(batch, body).every(({ receipt }) => receipt);

/**
 * Writes down what the server said about a batch.
 *
 * @param {Line} line
 * @param {OutboxRecord[]} batch
 * @param {Received} result
 * @returns {Promise<Outcome>}
 */
async function take({ store, learn }, batch, result) {
  const { resend } = result.body;
  const pairs = receiptsOf(batch, result.body);
  const outcomes = pairs.filter(({ receipt }) => receipt).map(({ id, receipt }) => ({
    id, seq: receipt.seq ?? undefined, problem: receipt.problem ?? null,
    status: receipt.status === "refused" ? /** @type {const} */ ("refused")
      : /** @type {const} */ ("stored"),
  }));
  // First what was stored before, then this batch, whose receipts are this server's own.
  if (resend === true) await store.queue.sendAllAgain();
  await store.queue.settle(outcomes, serverOf(result));
  await learn(result);
  if (outcomes.length < pairs.length) {
    const rest = pairs.filter(({ receipt }) => !receipt).map(({ id }) => id);
    await store.queue.release(rest, "waiting", null, "perhaps");
    return waiting(t`The server left some entries unanswered.`);
  }
  return resend === true ? { state: "again" } : DONE;
}

/**
 * @param {Line} line
 * @param {OutboxRecord[]} batch
 * @param {{status: number, body: ProblemBody}} result
 * @returns {Promise<Outcome>}
 */
async function rejected(line, batch, { status, body }) {
  const reason = meaning(status, body);
  if (reason !== "unfit") return hold(line, batch, reason, body);
  if (batch.length > 1) return halve(line, batch);
  const [{ id, rejections }] = batch;
  if (rejections + 1 < REJECTIONS_BEFORE_REFUSED) {
    await line.store.queue.release([id], "waiting", problemOf(body), "surely");
    return waiting(body.title, 0, true);
  }
  // Is it the entry, or what goes around it? An empty batch tells.
  const empty = await post(line, []);
  if (empty.kind === "problem") return hold(line, batch, "update needed", MISMATCH);
  if (empty.kind === "trouble") {
    await line.store.queue.release([id], "waiting", problemOf(body));
    return waiting(empty.why, empty.wait_ms);
  }
  const refusal = { id, status: /** @type {const} */ ("refused"), problem: problemOf(body) };
  await line.store.queue.settle([refusal], serverOf(empty));
  return DONE;
}

/**
 * @param {Line} line
 * @param {OutboxRecord[]} batch
 * @param {import("./verdict.js").HeldReason} reason
 * @param {ProblemBody} body
 * @returns {Promise<Outcome>}
 */
async function hold(line, batch, reason, body) {
  const ids = batch.map(({ id }) => id);
  await line.store.queue.release(ids, heldState(reason), problemOf(body));
  return { state: "held", reason, detail: body.detail ?? body.title };
}

/**
 * Sends the two halves on their own, down to the one entry that is at fault.
 *
 * @param {Line} line
 * @param {OutboxRecord[]} batch
 * @returns {Promise<Outcome>}
 */
async function halve(line, batch) {
  const middle = Math.ceil(batch.length / 2);
  const [first, second] = [batch.slice(0, middle), batch.slice(middle)];
  const one = await send(line, first);
  const stopped = one.state === "held" || (one.state === "waiting" && !one.lone);
  if (stopped) {
    await line.store.queue.release(second.map(({ id }) => id), "waiting", null);
    return one;
  }
  const two = await send(line, second);
  return two.state === "done" ? one : two;
}
