/**
 * Cautions, shown where hands go. They remind; the shop's procedure, the frame maker's
 * instructions and local codes decide.
 */
export const CAUTIONS = {
  turning: "Hand spanner. Glasses. Face clear. Creak or slip: stop.",
  on_press: "Stop. Isolate. Lock. Prop. Try start.",
  off_press: "Tools out, guards on, people clear.",
  stencil_on: "Small turns. The image moves; the stencil may crack.",
  lock: "Check rods, strips, bars. Cut gloves for steel mesh.",
  removing: "Let off all sides in rounds. Never free a lock under load.",
  burst: "Stop. Isolate before reaching in.",
  reclaim: "Goggles, gloves, ear protection. Caustic eats aluminium.",
  kept: "This stencil is kept for a repeat: ask first.",
  solvent: "Rated devices only.",
};
