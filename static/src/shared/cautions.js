/**
 * Cautions, shown where hands go. They remind; the shop's procedure, the frame maker's
 * instructions and local codes decide.
 */
import { t } from "./language.js";

export const CAUTIONS = {
  turning: t`Hand spanner. Glasses. Face clear. Creak or slip: stop.`,
  on_press: t`Stop. Isolate. Lock. Prop. Try start.`,
  off_press: t`Tools out, guards on, people clear.`,
  stencil_on: t`Small turns. The image moves; the stencil may crack.`,
  lock: t`Check rods, strips, bars. Cut gloves for steel mesh.`,
  removing: t`Let off all sides in rounds. Never free a lock under load.`,
  loaded: t`Never free a lock under load.`,
  burst: t`Stop. Isolate before reaching in.`,
  reclaim: t`Goggles, gloves, ear protection. Caustic eats aluminium.`,
  kept: t`This stencil is kept for a repeat: ask first.`,
  solvent: t`Solvent area: rated devices only.`,
};
