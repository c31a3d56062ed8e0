// IndexedDB in memory, whose every request can be the last one that a tab makes.
import "../../../static/node_modules/fake-indexeddb/auto/index.mjs";

export const newStorage = () => new IDBFactory();

const WATCHED = [
  "add", "put", "get", "getAll", "getKey", "getAllKeys", "count", "delete", "clear",
  "openCursor", "openKeyCursor",
];
/** @type {WeakMap<IDBDatabase, ReturnType<typeof tap>>} */
const taps = new WeakMap();

/** A request that is never answered: what a dead tab is left with. */
const dangling = () => Reflect.construct(IDBRequest, []);

for (const type of [IDBObjectStore, IDBIndex]) {
  for (const name of WATCHED.filter((one) => one in type.prototype)) {
    const original = type.prototype[name];
    type.prototype[name] = function watched(...args) {
      const { transaction, name: store } = this.objectStore ?? this;
      const from = this.objectStore ? `${store}.${this.name}` : store;
      const mine = taps.get(transaction.db);
      if (!mine) return original.apply(this, args);
      if (!mine.steps(`${name} ${from}`)) return dangling();
      const request = original.apply(this, args);
      // As a browser does when the disk is full: the whole transaction is undone, not at once.
      if (mine.refuses(name)) queueMicrotask(() => end(transaction, "QuotaExceededError"));
      return request;
    };
  }
}

const begin = IDBDatabase.prototype.transaction;
IDBDatabase.prototype.transaction = function watched(...args) {
  const tx = begin.apply(this, args);
  const mine = taps.get(this);
  tx.addEventListener("complete", () => mine?.steps(`complete ${args[0]}`));
  return tx;
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
 * Sits between one tab and the storage of its phone. Steps are requests and completed
 * transactions; the tab can be made to die at any of them.
 *
 * @param {IDBFactory} factory
 * @param {() => void} onDeath
 */
export function tap(factory, onDeath = () => {}) {
  /** @type {Set<IDBDatabase>} */
  const open = new Set();
  /** @type {string[]} */
  let taken = [];
  let last = Infinity;
  let dead = false;
  let full = false;

  const mine = {
    /** @returns {boolean} false when the tab is dead and the step is not taken */
    steps(/** @type {string} */ what) {
      if (dead) return false;
      taken.push(what);
      if (taken.length < last) return true;
      mine.die();
      return false;
    },
    refuses: (/** @type {string} */ name) => full && (name === "put" || name === "add"),
    die() {
      dead = true;
      // Once the statement that is running has come to its end, as requests are made in groups.
      queueMicrotask(() => open.forEach(undo));
      onDeath();
    },
    /** Counts steps from here on; the tab dies at step `at`. */
    dieAt(/** @type {number} */ at) {
      taken = [];
      last = at;
    },
    taken: () => taken,
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
