/** The short words screens use for each kind of entry; nothing else names a kind to a reader. */
export const KINDS = /** @type {const} */ ({
  mesh_fitted: "Mesh fitted",
  target_set: "Target set",
  tension_check: "Check",
  turn_plan: "Turn plan",
  bolt_turns: "Bolts turned",
  register_tweak: "Tweak",
  after_marks: "After marks",
  cause_found: "Cause found",
  nipped_up: "Nipped up",
  bolt_state: "Bolt state",
  coated: "Coated",
  exposed: "Exposed",
  inspected: "Inspected",
  washed: "Washed",
  reclaimed: "Reclaimed",
  burst: "Burst",
  mesh_removed: "Mesh removed",
  moved: "Moved",
  impressions: "Impressions",
  ok_sheet: "OK sheet",
  stretch_step: "Mesh fitting",
  stand_out: "Bolt stand-out",
  meter_zeroed: "Meter zeroed",
  note: "Note",
  correction: "Corrected",
  void: "Undone",
});

/**
 * @param {string} kind
 * @returns {string} a kind this app does not know yet is shown by its own name
 */
export function label(kind) {
  return KINDS[/** @type {keyof typeof KINDS} */ (kind)] ?? kind.replaceAll("_", " ");
}
