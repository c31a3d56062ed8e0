/** The short words screens use for each kind of entry; nothing else names a kind to a reader. */
import { t } from "../../shared/language.js";

export const KINDS = /** @type {const} */ ({
  mesh_fitted: t`Mesh fitted`,
  target_set: t`Target set`,
  tension_check: t`Check`,
  turn_plan: t`Turn plan`,
  bolt_turns: t`Bolts turned`,
  register_tweak: t`Tweak`,
  after_marks: t`After marks`,
  cause_found: t`Cause found`,
  nipped_up: t`Nipped up`,
  bolt_state: t`Bolt state`,
  coated: t`Coated`,
  exposed: t`Exposed`,
  inspected: t`Inspected`,
  washed: t`Washed`,
  reclaimed: t`Reclaimed`,
  burst: t`Burst`,
  mesh_removed: t`Mesh removed`,
  moved: t`Moved`,
  impressions: t`Impressions`,
  ok_sheet: t`OK sheet`,
  stretch_step: t`Mesh fitting`,
  stand_out: t`Bolt stand-out`,
  meter_zeroed: t`Meter zeroed`,
  note: t`Note`,
  correction: t`Corrected`,
  void: t`Undone`,
});

/**
 * @param {string} kind
 * @returns {string} a kind this app does not know yet is shown by its own name
 */
export function label(kind) {
  if (Object.hasOwn(KINDS, kind)) return KINDS[/** @type {keyof typeof KINDS} */ (kind)];
  return kind.replaceAll("_", " ");
}
