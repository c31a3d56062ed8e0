import { tensionText } from "../units.js";
import { alongIsAcrossReader } from "./lie.js";
import { toDrawing } from "./layout.js";
import { missColour } from "./misses.js";

const CELL = 62;
const ROW = 23;

/** Cells keep clear of each other and inside the mesh, however narrow the frame. */
function cellSize(layout, spots) {
  const columns = new Set(spots.map((spot) => Math.round(toDrawing(layout, spot.u, spot.v)[0]))).size || 1;
  return Math.max(34, Math.min(CELL, layout.inner.w / columns - 4));
}

const clamp = (/** @type {number} */ at, /** @type {number} */ low, /** @type {number} */ high) =>
  Math.max(low, Math.min(high, at));

/** A short line beside the number, lying as the meter lay. */
function LieSign({ x, y, level }) {
  return <path d={level ? `M${x - 5} ${y}H${x + 5}` : `M${x} ${y - 6}V${y + 6}`} class="fd-lie" />;
}

function Row({ x, y, width, value, level, target, tolerance, first }) {
  const roomy = width >= 54;
  return (
    <>
      <rect x={x} y={y} width={width} height={ROW} fill={missColour(value, target, tolerance)} class="fd-cell" />
      {roomy && <LieSign x={x + 10} y={y + ROW / 2} level={level} />}
      <text x={x + width / 2 + (roomy ? 7 : 0)} y={y + ROW - 5.5} class={`fd-reading${first ? " is-first" : ""}${roomy ? "" : " is-small"}`}>
        {tensionText(value)}
      </text>
    </>
  );
}

/** @param {{layout: import("./layout.js").Layout, spots: import("../types.js").Spot[], target: number | null, tolerance: number | null}} props */
export function Readings({ layout, spots, target, tolerance }) {
  const width = cellSize(layout, spots);
  const level = alongIsAcrossReader(layout.view);
  const { inner } = layout;
  return spots.map((spot) => {
    const rows = [
      { value: spot.along_a_n_per_cm, level },
      { value: spot.across_a_n_per_cm, level: !level },
    ].filter((row) => row.value !== null && row.value !== undefined);
    const [cx, cy] = toDrawing(layout, spot.u, spot.v);
    const tall = rows.length * ROW;
    const x = clamp(cx - width / 2, inner.x + 2, inner.x + inner.w - width - 2);
    const y = clamp(cy - tall / 2, inner.y + 2, inner.y + inner.h - tall - 2);
    return (
      <g key={`${spot.u} ${spot.v}`}>
        {rows.map((row, i) => (
          <Row key={i} x={x} y={y + i * ROW} width={width} first={i === 0} target={target} tolerance={tolerance} level={row.level} value={/** @type {number} */ (row.value)} />
        ))}
      </g>
    );
  });
}
