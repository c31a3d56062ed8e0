import { SIDES, boltPoint, placeOf, seenPoint } from "./lie.js";

/**
 * Bolts that the clamps of a press hide from the spanner, for a frame lying on it like this.
 * @param {import("../types.js").Frame} frame
 * @param {import("../types.js").View} view
 * @param {import("../types.js").Clamp[]} clamps  measured from the left, or from the near end
 * @returns {string[]} names of bolts
 */
export function hiddenBolts(frame, view, clamps) {
  const lengthwise = view.near === "A" || view.near === "C";
  const wide = lengthwise ? frame.inside_a_mm : frame.inside_b_mm;
  const deep = lengthwise ? frame.inside_b_mm : frame.inside_a_mm;
  return SIDES.flatMap((side) => {
    const place = placeOf(view, side);
    const here = clamps.filter((clamp) => clamp.side === place);
    return (frame.bolts[side] ?? []).flatMap((mm, i) => {
      const [right, away] = seenPoint(view, ...boltPoint(frame, side, mm));
      const at = place === "near" || place === "far" ? right * wide : away * deep;
      const hidden = here.some((clamp) => at >= (clamp.from_mm ?? 0) && at <= (clamp.to_mm ?? Infinity));
      return hidden ? [`${side}${i + 1}`] : [];
    });
  });
}
