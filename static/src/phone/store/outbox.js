/**
 * What a person sees of the outbox, and may do to it.
 *
 * @typedef {import("./record.js").OutboxRecord} OutboxRecord
 * @typedef {Pick<OutboxRecord, "entry"|"state"|"attempts"|"problem"|"saved_at">} Line
 */

/** @param {OutboxRecord} record @returns {Line} */
const line = ({ entry, state, attempts, problem, saved_at }) =>
  ({ entry, state, attempts, problem, saved_at });

/** @param {OutboxRecord} a @param {OutboxRecord} b */
const byNumber = (a, b) => a.entry.device_seq - b.entry.device_seq;

/** @param {import("./index.js").Inner} inner */
export function outboxOf({ run, clock, changed, app }) {
  return {
    /**
     * Everything the server has not taken, oldest first.
     *
     * @returns {Promise<Line[]>}
     */
    lines: () => run(["outbox"], "readonly", async (tx) => {
      const outbox = tx.objectStore("outbox");
      const [unsent, refused] = await Promise.all([
        outbox.index("unsent").getAll(), outbox.index("state").getAll("refused"),
      ]);
      return [...unsent, ...refused].sort(byNumber).map(line);
    }),

    /** @returns {Promise<{unsent: number, oldest_at: number|null, refused: number}>} */
    counts: () => run(["outbox"], "readonly", async (tx) => {
      const outbox = tx.objectStore("outbox");
      const [unsent, oldest, refused] = await Promise.all([
        outbox.index("unsent").count(), outbox.index("unsent").openKeyCursor(),
        outbox.index("state").count("refused"),
      ]);
      const oldest_at = oldest ? /** @type {number} */ (oldest.key) : null;
      return { unsent, oldest_at, refused };
    }),

    /**
     * Takes a refused entry off the list; the server keeps its own copy of what it refused.
     *
     * @param {string} id
     * @returns {Promise<boolean>} false when it was not a refused one: nothing else can be dropped
     */
    async discardRefused(id) {
      const gone = await run(["outbox"], "readwrite", async (tx) => {
        const outbox = tx.objectStore("outbox");
        const record = await outbox.get(id);
        if (record?.state !== "refused") return null;
        await outbox.delete(id);
        return record.entry;
      });
      if (gone) changed(["outbox"], [gone.frame]);
      return gone !== null;
    },

    /** The outbox as a file's content: all that is not stored, refused ones too, and what is kept. */
    exported: () => run(["outbox", "meta"], "readonly", async (tx) => {
      const [records, install_id] = await Promise.all([
        tx.objectStore("outbox").getAll(), tx.objectStore("meta").get("install_id"),
      ]);
      const sorted = records.sort(byNumber);
      return {
        tautbook_outbox: 1, install_id, app,
        exported_at: new Date(clock.now()).toISOString(),
        states: Object.fromEntries(sorted.map((one) => [one.id, one.state])),
        entries: sorted.map((one) => one.entry),
      };
    }),
  };
}
