// IndexedDB in memory, whose every request can be the last one that a tab makes.
import "../../../static/node_modules/fake-indexeddb/auto/index.mjs";

export const newStorage = () => new IDBFactory();

const WATCHED = [
  "add", "put", "get", "getAll", "getKey", "getAllKeys", "count", "delete", "clear",
  "openCursor", "openKeyCursor",
];
/** @type {WeakMap<IDBDatabase, ReturnType<typeof tap>>} */
const taps = new WeakMap();

/** What a transaction is undone with. @type {Record<string, string>} */
const REASONS = { fails: "UnknownError", full: "QuotaExceededError" };

/** A request that is never answered: what a dead tab is left with. */
const dangling = () => Reflect.construct(IDBRequest, []);

/** Transactions that will never be heard of again. @type {WeakSet<IDBTransaction>} */
const silenced = new WeakSet();

/** @param {any} tx @param {string} fate what the step that was just taken has coming */
function befall(tx, fate) {
  if (fate === "silent") {
    silenced.add(tx);
    taps.get(tx.db)?.hang();
  }
  // As a browser does: the whole transaction is undone, not at once.
  if (fate in REASONS) queueMicrotask(() => end(tx, REASONS[fate]));
}

for (const type of [IDBObjectStore, IDBIndex]) {
  for (const name of WATCHED.filter((one) => one in type.prototype)) {
    const original = type.prototype[name];
    type.prototype[name] = function watched(...args) {
      const { transaction, name: store } = this.objectStore ?? this;
      const from = this.objectStore ? `${store}.${this.name}` : store;
      const mine = taps.get(transaction.db);
      if (!mine) return original.apply(this, args);
      const fate = mine.fate(`${name} ${from}`);
      if (fate === "gone") return dangling();
      const request = original.apply(this, args);
      befall(transaction, fate);
      return request;
    };
  }
}

const begin = IDBDatabase.prototype.transaction;
IDBDatabase.prototype.transaction = function watched(...args) {
  const mine = taps.get(this);
  const fate = mine?.fate(`begin ${args[0]}`) ?? "goes";
  // What a browser says that has taken the database away.
  if (fate === "fails") throw new DOMException("The connection is closing.", "InvalidStateError");
  const tx = begin.apply(this, args);
  befall(tx, fate);
  tx.addEventListener("complete", () => mine?.fate(`complete ${args[0]}`));
  return tx;
};

const go = IDBTransaction.prototype._start;
IDBTransaction.prototype._start = function watched() {
  const over = this._requests.every(({ request }) => request.readyState === "done");
  if (over && this._state !== "finished" && this.mode === "readwrite" && !silenced.has(this)) {
    // Nothing more is asked of it: now it would be written to the disk.
    const fate = taps.get(this.db)?.fate(`commit ${[...this.objectStoreNames]}`) ?? "goes";
    if (fate === "gone" || fate in REASONS) return end(this, REASONS[fate] ?? null);
    befall(this, fate);
  }
  this._started = true;
  return silenced.has(this) ? undefined : go.call(this);
};

/** @param {any} tx @param {string|null} why */
function end(tx, why) {
  if (["active", "inactive"].includes(tx._state)) tx._abort(why);
}

/** What was not committed is undone, as when a browser ends a page. @param {any} db */
function undo(db) {
  for (const tx of db._rawDatabase.transactions) if (tx.db === db) end(tx, null);
  db.close();
}

/**
 * Sits between one tab and the storage of its phone. Steps are transactions begun, requests, and
 * transactions about to be and just committed. Any step can be the tab's last one (`dies`), be
 * undone with its transaction (`fails`, `full`), never be answered (`silent`), or be the first of
 * many that fail (`breaks`).
 *
 * @param {IDBFactory} factory
 * @param {() => void} onDeath
 */
export function tap(factory, onDeath = () => {}) {
  /** @type {Set<IDBDatabase>} */
  const open = new Set();
  /** @type {string[]} */
  let taken = [];
  let at = Infinity;
  let how = "dies";
  let dead = false;
  let full = false;
  let hangs = false;

  const mine = {
    /** @returns {string} gone: the tab is dead and the step is not taken; goes: it is */
    fate(/** @type {string} */ what) {
      if (dead) return "gone";
      taken.push(what);
      if (how === "breaks" && taken.length >= at) return "fails";
      if (taken.length !== at) return full && /^(put|add) /.test(what) ? "full" : "goes";
      if (how !== "dies") return how;
      mine.die();
      return "gone";
    },
    die() {
      dead = true;
      // Once the statement that is running has come to its end, as requests are made in groups.
      queueMicrotask(() => open.forEach(undo));
      onDeath();
    },
    /** Counts steps from here on; this becomes of number `step`. */
    failAt(/** @type {number} */ step, /** @type {string} */ way) {
      taken = [];
      [at, how, hangs] = [step, way, false];
    },
    dieAt: (/** @type {number} */ step) => mine.failAt(step, "dies"),
    taken: () => taken,
    hang: () => { hangs = true; },
    /** Whether something waits for an answer that does not come. */
    isSilent: () => hangs,
    fill: (/** @type {boolean} */ is) => { full = is; },
    /** What iOS does to an app in the background. */
    closeAll: () => open.forEach((db) => db.close()),
    databases: () => [...open],
    indexedDB: {
      open(/** @type {any[]} */ ...args) {
        if (dead) return dangling();
        const request = factory.open(...args);
        const keep = () => {
          taps.set(request.result, mine);
          open.add(request.result);
        };
        request.addEventListener("upgradeneeded", keep);
        request.addEventListener("success", keep);
        return request;
      },
    },
  };
  return mine;
}
