import { v7 } from "uuid";

/**
 * @typedef {{id: string, started_at: string, reason: "new"|"numbering lost"}} Install
 */

/**
 * Makes sure this phone has a name and a number to count on from. A browser that threw its
 * storage away looks like a new phone: it gets a new name, so that no number is used twice and
 * the server can see where the old numbering stopped. It may do so under an open page: whoever
 * numbers an entry asks in the same transaction.
 *
 * @param {import("./connection.js").Transaction} tx
 * @param {import("../entries/types.js").Clock} clock
 * @returns {Promise<{install: Install, last: number}>} the number given last
 */
export async function settleIn(tx, clock) {
  const meta = tx.objectStore("meta");
  const [id, install, last, top] = await Promise.all([
    meta.get("install_id"), meta.get("install"), meta.get("device_seq"),
    tx.objectStore("outbox").index("device_seq").openKeyCursor(null, "prev"),
  ]);
  if (id && install && Number.isInteger(last)) {
    const highest = Math.max(last, Number(top?.key ?? 0));
    if (highest !== last) await meta.put(highest, "device_seq");
    return { install, last: highest };
  }
  const reason = id || top ? /** @type {const} */ ("numbering lost") : /** @type {const} */ ("new");
  const made = { id: v7(), started_at: new Date(clock.now()).toISOString(), reason };
  await meta.put(made.id, "install_id");
  await meta.put(made, "install");
  await meta.put(0, "device_seq");
  return { install: made, last: 0 };
}
