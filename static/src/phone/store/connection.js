import { unwrap, wrap } from "idb";
import { StoreError, connectionLost, worded } from "./errors.js";
import { NAME, VERSION, upgrade } from "./schema.js";

const PATIENCE_MS = 10_000;
// A first snapshot on an old phone takes its time; nothing takes longer that ever ends.
const LONGEST_MS = 120_000;

/**
 * @typedef {import("idb").IDBPDatabase<any>} Database
 * @typedef {import("idb").IDBPTransaction<any, any, "readwrite">} Transaction
 * @typedef {{indexedDB: IDBFactory, clock: import("../entries/types.js").Clock,
 *   blocked?: () => void}} Ground
 *
 * @typedef {{patience?: number, durability?: IDBTransactionDurability}} How patience: ms until
 *   storage that does not answer is given up; durability: strict where a person is told that it is
 *   kept. What only the server's answers brought comes again should a power cut take it.
 */

/**
 * @param {Ground} ground
 * @param {number|undefined} version undefined takes the database as it is
 * @returns {Promise<Database>}
 */
function open({ indexedDB, clock, blocked }, version) {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, version);
    const calm = clock.after(PATIENCE_MS, () => reject(new StoreError("silent")));
    request.onupgradeneeded = () => {
      const tx = /** @type {any} */ (wrap(/** @type {IDBTransaction} */ (request.transaction)));
      // A failed upgrade is told by the request itself.
      tx.done.catch(() => {});
      upgrade(/** @type {any} */ (wrap(request.result)), tx);
    };
    request.onblocked = () => {
      calm();
      blocked?.();
    };
    request.onsuccess = () => {
      calm();
      resolve(/** @type {any} */ (wrap(request.result)));
    };
    request.onerror = () => {
      calm();
      reject(request.error);
    };
  });
}

/**
 * Opens the database; one that a newer app has already changed, or that cannot be changed just
 * now, is used as it stands, because newer versions only ever add.
 *
 * @param {Ground} ground
 * @returns {Promise<Database>}
 */
async function openAny(ground) {
  try {
    return await open(ground, VERSION);
  } catch (error) {
    if (error instanceof StoreError) throw error;
    const name = /** @type {Error} */ (error)?.name;
    if (name === "QuotaExceededError") throw worded(error);
    if (name !== "VersionError" && name !== "AbortError") throw new StoreError("no_storage", error);
    const db = await open(ground, undefined).catch((cause) => {
      throw new StoreError("no_storage", cause);
    });
    if (db.objectStoreNames.contains("outbox")) return db;
    db.close();
    throw new StoreError("no_storage", error);
  }
}

/**
 * A connection that comes back by itself. `run` resolves when the transaction is complete, not
 * when its requests have answered; the work may be run again on a new connection, so it must
 * only look at the transaction that it is given.
 *
 * @param {Ground} ground
 */
export function connect(ground) {
  /** @type {Promise<Database>|null} */
  let opening = null;

  function connection() {
    if (opening) return opening;
    const mine = openAny(ground);
    opening = mine;
    const forget = () => {
      if (opening === mine) opening = null;
    };
    mine.then((db) => {
      db.addEventListener("close", forget);
      // Another tab brings a newer app: step aside, or its upgrade waits for ever.
      db.addEventListener("versionchange", () => {
        forget();
        db.close();
      });
    }, forget);
    return mine;
  }

  /** @param {Database} db */
  function drop(db) {
    opening = null;
    db.close();
  }

  /**
   * @template T
   * @param {string[]} stores
   * @param {IDBTransactionMode} mode
   * @param {(tx: Transaction) => Promise<T>} work
   * @param {How} [how]
   * @returns {Promise<T>}
   */
  async function run(stores, mode, work, { patience = LONGEST_MS, durability = "relaxed" } = {}) {
    for (let tries = 1; ; tries += 1) {
      const db = await connection();
      try {
        return await timed(ground.clock, patience, (late) =>
          complete(() => db.transaction(stores, mode, { durability }), work, late));
      } catch (error) {
        if (isSilent(error) || connectionLost(error)) drop(db);
        if (!connectionLost(error) || tries === 3) throw worded(error);
      }
    }
  }

  return {
    run,
    /** @returns {Promise<void>} */
    close: async () => {
      if (opening) drop(await opening);
    },
  };
}

/** @param {unknown} error */
const isSilent = (error) => error instanceof StoreError && error.code === "silent";

/**
 * @template T
 * @param {import("../entries/types.js").Clock} clock
 * @param {number} ms
 * @param {(late: Promise<never>) => Promise<T>} work
 * @returns {Promise<T>} of work that hears by `late` when its time is over
 */
async function timed(clock, ms, work) {
  let calm = () => {};
  const late = new Promise((_resolve, reject) => {
    calm = clock.after(ms, () => reject(new StoreError("silent")));
  });
  late.catch(() => {});
  return work(/** @type {Promise<never>} */ (late)).finally(() => calm());
}

/**
 * @template T
 * @param {() => any} begin
 * @param {(tx: Transaction) => Promise<T>} work
 * @param {Promise<never>} late
 * @returns {Promise<T>}
 */
async function complete(begin, work, late) {
  const tx = begin();
  tx.done.catch(() => {});
  const whole = async () => {
    const result = await work(tx);
    await tx.done;
    return result;
  };
  try {
    return await Promise.race([whole(), late]);
  } catch (error) {
    const cause = tx.error ?? error;
    abort(unwrap(/** @type {any} */ (tx)));
    throw cause;
  }
}

/** @param {any} tx the transaction itself, not its wrapper */
function abort(tx) {
  try {
    tx.abort();
  } catch {
    // Already over: nothing to undo.
  }
}
