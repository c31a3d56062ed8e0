import { t } from "../../shared/language.js";
import { pull } from "./pull.js";
import { push } from "./push.js";
import { better, measured } from "./offset.js";

const PRUNE_MS = 3_600_000;

/**
 * @typedef {import("./verdict.js").Outcome} Outcome
 *
 * @typedef {object} Line what one round of sync works with
 * @property {import("../store/index.js").Store} store
 * @property {import("../entries/types.js").Clock} clock
 * @property {ReturnType<typeof import("./call.js").callOn>} call
 * @property {{limit: number}} pace how many entries at once get through
 * @property {{server_time: number}} said by the server in its last answer, ms
 * @property {(answer: Pick<import("./call.js").Answered, "body"|"sent"|"got">) => Promise<void>} learn
 */

/**
 * @param {import("../store/index.js").Store} store
 * @param {import("../entries/types.js").Clock} clock
 * @param {Line["call"]} call
 * @returns {Line}
 */
export function lineOf(store, clock, call) {
  const said = { server_time: 0 };
  return {
    store, clock, call, said, pace: { limit: 100 },
    async learn({ body, sent, got }) {
      said.server_time = Date.parse(body.server_time) || 0;
      const learnt = measured(body.server_time, sent, got);
      if (!learnt) return;
      const before = await store.meta.get("clock");
      const best = better(before, learnt);
      if (best !== before) await store.meta.set("clock", best);
    },
  };
}

/**
 * One round: everything up, then everything down; once more if the server turns out to have
 * lost something. Never rejects.
 *
 * @param {Line} line
 * @param {boolean} alone no other tab can be at it
 * @returns {Promise<Outcome>}
 */
export async function round(line, alone) {
  try {
    return await upAndDown(line, alone);
  } catch (error) {
    // The phone's own storage failed: what was not written is still as it was.
    return { state: "waiting", wait_ms: 0, why: error instanceof Error ? error.message : `${error}` };
  }
}

/** @param {Line} line @param {boolean} alone @returns {Promise<Outcome>} */
async function upAndDown(line, alone) {
  for (let rounds = 0; rounds < 3; rounds += 1) {
    const up = await push(line, alone);
    if (up.state !== "done") return up;
    const down = await pull(line);
    if (down.state === "again") continue;
    if (down.state === "done") await tidy(line);
    return down;
  }
  return { state: "waiting", why: t`The server asks for everything again and again.`, wait_ms: 0 };
}

/**
 * Prunes now and then, by what the server has just said: a phone's own clock may be a year ahead.
 *
 * @param {Line} line
 */
async function tidy({ store, clock, said: { server_time: now } }) {
  await store.meta.set("last_sync_at", clock.now());
  const pruned = (await store.meta.get("pruned_at")) ?? 0;
  if (!now || Math.abs(now - pruned) < PRUNE_MS) return;
  await store.queue.prune(now);
  await store.meta.set("pruned_at", now);
}
