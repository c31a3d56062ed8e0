/** What was done to a screen since its OK sheet was signed: what may make it print otherwise now. Pure. */
import { correctedMs } from "../../entries/index.js";
import { effective } from "../../fold/order.js";

/** @typedef {import("../../entries/types.js").HeldEntry} HeldEntry */
/** @typedef {import("../../fold/frames.js").ShownEntry} ShownEntry */

/** As on the office's page of a job, and a new mesh or coat, since a card goes past its stencil. Notes too: a new squeegee is one. */
const CHANGES = [
  "bolt_turns", "register_tweak", "nipped_up", "target_set", "bolt_state", "burst", "exposed", "reclaimed", "washed", "moved", "mesh_removed",
  "mesh_fitted", "coated", "note",
];

/** The last sheet that a colour is on, if that was signed. @param {HeldEntry[]} entries about its job @param {string} colour @returns {HeldEntry | null} */
export function sheetOf(entries, colour) {
  const last = effective(entries).findLast((one) => one.kind === "ok_sheet" && one.payload.colours.includes(colour));
  return last?.payload.signed ? last : null;
}

/** @param {ShownEntry[]} entries of a frame, newest first @param {HeldEntry} sheet @returns {ShownEntry[]} newest first; readings and marks alone change nothing */
export const changesSince = (entries, sheet) =>
  entries.filter((one) => !one.voided && CHANGES.includes(one.kind) && correctedMs(one) > correctedMs(sheet));

/**
 * The last check before the sheet and the last one after it, where both are there.
 * @param {ShownEntry[]} entries of a frame, newest first @param {HeldEntry} sheet
 * @returns {{then: ShownEntry, now: ShownEntry} | null}
 */
export function checksAround(entries, sheet) {
  const checks = entries.filter((one) => !one.voided && one.kind === "tension_check");
  const then = checks.find((one) => correctedMs(one) <= correctedMs(sheet));
  return then && checks[0] !== then ? { then, now: checks[0] } : null;
}
