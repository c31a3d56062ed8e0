export const NAME = "tautbook";
export const VERSION = 1;

/**
 * Every store and index there should be. Indexes over properties that a record may lack list
 * only the records that have them: `queue` and `unsent` are taken off once an entry is stored.
 *
 * @type {Record<string, {options?: IDBObjectStoreParameters,
 *   indexes?: Record<string, [string, IDBIndexParameters?]>}>}
 */
const STORES = {
  outbox: {
    options: { keyPath: "id" },
    indexes: {
      state: ["state"],
      queue: ["queue"],
      unsent: ["unsent"],
      device_seq: ["entry.device_seq"],
      about: ["about", { multiEntry: true }],
      target: ["target"],
    },
  },
  entries: {
    options: { keyPath: "id" },
    indexes: { about: ["about", { multiEntry: true }], target: ["target"] },
  },
  things: {
    options: { keyPath: "key" },
    indexes: { kind: ["kind"], names: ["names", { multiEntry: true }] },
  },
  states: { options: { keyPath: "key" }, indexes: { kind: ["kind"] } },
  // The cursor has a store of its own: a snapshot may hold it for seconds, and saving an entry,
  // which needs `meta`, must not wait for that.
  cursor: {},
  meta: {},
};

export const STORE_NAMES = Object.keys(STORES);

/**
 * Makes what is missing and takes nothing away, whatever version it finds: a new app never
 * throws away what an older one kept.
 *
 * @param {import("idb").IDBPDatabase<any>} db
 * @param {import("idb").IDBPTransaction<any, any, "versionchange">} tx
 */
export function upgrade(db, tx) {
  for (const [name, { options, indexes }] of Object.entries(STORES)) {
    const store = db.objectStoreNames.contains(name)
      ? tx.objectStore(name)
      : db.createObjectStore(name, options);
    for (const [index, [path, how]] of Object.entries(indexes ?? {})) {
      if (!store.indexNames.contains(index)) store.createIndex(index, path, how);
    }
  }
}
