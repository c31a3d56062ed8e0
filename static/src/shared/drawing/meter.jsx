import { alongIsAcrossReader } from "./lie.js";
import { toDrawing } from "./layout.js";

/**
 * The meter drawn as it lies, at the spot that is to be read next.
 * @param {{layout: import("./layout.js").Layout, meter: {u: number, v: number, direction: import("../types.js").Direction} | null}} props
 */
export function Meter({ layout, meter }) {
  if (!meter) return null;
  const [cx, cy] = toDrawing(layout, meter.u, meter.v);
  const x = Math.max(layout.inner.x + 29, Math.min(layout.inner.x + layout.inner.w - 29, cx));
  const y = Math.max(layout.inner.y + 29, Math.min(layout.inner.y + layout.inner.h - 29, cy));
  const level = (meter.direction === "along_a") === alongIsAcrossReader(layout.view);
  return (
    <g class="fd-meter" data-level={level}>
      <circle cx={x} cy={y} r="27" class="fd-pulse" />
      <rect
        x={x - (level ? 21 : 7)} y={y - (level ? 7 : 21)} width={level ? 42 : 14} height={level ? 14 : 42}
        rx="7" class="fd-body"
      />
    </g>
  );
}
