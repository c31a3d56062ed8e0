/**
 * The shop's things, all in memory: presses, meshes, meters, operators, jobs, colours, frames.
 * @typedef {{list: (kind: string) => any[], get: (kind: string, id: string | null | undefined) => any | null,
 *   name: (kind: string, id: string | null | undefined) => string, shop: any, ready: boolean}} Things
 */
const KINDS = ["shop", "frame", "mesh", "press", "meter", "operator", "job", "colour"];

/** Until the first sync the shop's limits are not known; these are the ones a new shop starts with. */
const NEW_SHOP = {
  name: "",
  prefix: "F",
  length_unit: "mm",
  count_unit: "cm",
  tolerance_n_per_cm: 1.5,
  spread_limit_n_per_cm: 3,
  recent_days: 7,
  spots: "centre",
  reading_order: "both",
};

const TITLE = {
  job: (/** @type {any} */ job) => `${job.number} ${job.title ?? ""}`.trim(),
  frame: (/** @type {any} */ frame) => frame.code,
};

/** By place, number or name, as a person would look for it. */
function inOrder(/** @type {any} */ one, /** @type {any} */ two) {
  const by = (/** @type {any} */ body) => String(body.position ?? body.code ?? body.number ?? body.name ?? "");
  return by(one).localeCompare(by(two), "en", { numeric: true });
}

/** @param {any} store @returns {Promise<Things>} */
export async function loadThings(store) {
  const lists = await Promise.all(KINDS.map((kind) => store.things(kind)));
  /** @type {Map<string, any>} */ const byId = new Map();
  /** @type {Record<string, any[]>} */ const live = {};
  KINDS.forEach((kind, i) => {
    for (const body of lists[i]) byId.set(`${kind} ${body.id}`, body);
    live[kind] = lists[i].filter((/** @type {any} */ body) => !body.retired).sort(inOrder);
  });
  return thingsOf(live, byId);
}

/** @param {Record<string, any[]>} live @param {Map<string, any>} byId @returns {Things} */
function thingsOf(live, byId) {
  const get = (/** @type {string} */ kind, /** @type {any} */ id) => byId.get(`${kind} ${id}`) ?? null;
  return {
    ready: byId.size > 0,
    shop: live.shop?.[0] ?? NEW_SHOP,
    list: (kind) => live[kind] ?? [],
    get,
    name(kind, id) {
      const body = get(kind, id);
      if (!body) return "";
      return /** @type {any} */ (TITLE)[kind]?.(body) ?? body.name ?? "";
    },
  };
}

/** @type {Things} */
export const NO_THINGS = thingsOf({}, new Map());
