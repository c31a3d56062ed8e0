import { v7 as uuidv7 } from "uuid";

export { systemClock } from "./clock.js";
export { KINDS, label } from "./kinds.js";
export { correctedMs, stamp, utc } from "./time.js";

/**
 * Opens an entry. Call it when the form opens, not when it is saved: the id made here is what
 * makes a double tap, or a second tab, the same entry.
 *
 * @param {Partial<import("./types.js").Draft> & {kind: string}} form
 * @param {{msecs?: number, rng?: () => Uint8Array}} [chance] for repeatable tests
 * @returns {import("./types.js").Draft}
 */
export function newDraft(form, chance) {
  const id = form.id ?? uuidv7(chance);
  return {
    id,
    kind: form.kind,
    operator: form.operator ?? null,
    frame: form.frame ?? null,
    // A screen begins with its mesh-fitted entry and is named by it.
    screen: form.kind === "mesh_fitted" ? id : (form.screen ?? null),
    subject: form.subject ?? null,
    scanned: form.scanned ?? null,
    payload: form.payload ?? {},
    ...(form.occurred_at ? { occurred_at: form.occurred_at } : {}),
  };
}

/**
 * The entry that takes another one back.
 *
 * @param {import("./types.js").Entry} entry
 * @param {string} reason
 * @param {string|null} operator
 */
export function newVoid(entry, reason, operator) {
  const { frame, screen, subject } = entry;
  return newDraft({
    kind: "void", operator, frame, screen, subject, payload: { voids: entry.id, reason },
  });
}

/**
 * The entry that puts another one right; what is not given stays as it was.
 *
 * @param {import("./types.js").Entry} entry
 * @param {{frame?: string|null, screen?: string|null, occurred_at?: string, payload?: object}} put
 * @param {string|null} operator
 */
export function newCorrection(entry, put, operator) {
  const { frame, screen, occurred_at, payload, subject } = entry;
  const right = { frame, screen, occurred_at, payload, ...put };
  return newDraft({
    kind: "correction", operator, frame, screen, subject,
    payload: { corrects: entry.id, ...right },
  });
}
