import { tensionText } from "../units.js";
import { alongIsAcrossReader } from "./lie.js";
import { toDrawing } from "./layout.js";
import { missColour } from "./misses.js";

const CELL = 68;
const ROW = 23;

/** Cells keep clear of each other and inside the mesh, however small the frame is drawn. @param {import("./layout.js").Layout} layout @param {import("../types.js").Spot[]} spots */
function cellSize(layout, spots) {
  const lines = spots.length > 1 ? 3 : 1;
  const width = Math.max(34, Math.min(CELL, layout.inner.w / lines - 3));
  const row = Math.max(16, Math.min(ROW, (layout.inner.h / lines - 3) / 2));
  return { width, row };
}

const clamp = (/** @type {number} */ at, /** @type {number} */ low, /** @type {number} */ high) =>
  Math.max(low, Math.min(high, at));

/** A small meter on its two feet beside the number, lying as the meter lay; a bare line would read as a minus. @param {{x: number, y: number, level: boolean}} props */
function LieSign({ x, y, level }) {
  const [dx, dy] = level ? [5, 0] : [0, 5];
  return (
    <g class="fd-lie">
      <path d={`M${x - dx} ${y - dy}L${x + dx} ${y + dy}`} />
      <circle cx={x - dx} cy={y - dy} r="2.6" />
      <circle cx={x + dx} cy={y + dy} r="2.6" />
    </g>
  );
}

/** @param {{x: number, y: number, width: number, row: number, value: number, level: boolean, target: number | null, tolerance: number | null, first: boolean}} props */
function Row({ x, y, width, row, value, level, target, tolerance, first }) {
  const roomy = width >= 60;
  const text = tensionText(value);
  return (
    <>
      <rect x={x} y={y} width={width} height={row} fill={missColour(value, target, tolerance)} class="fd-cell" />
      {roomy && <LieSign x={x + 9} y={y + row / 2} level={level} />}
      <text x={x + width / 2 + (roomy ? 9 : 0)} y={y + row / 2 + (roomy && row > 20 ? 6 : 5)} class={`fd-reading${first ? " is-first" : ""}${roomy && row > 20 ? "" : " is-small"}${text.length > 3 ? " is-long" : ""}`}>
        {text}
      </text>
    </>
  );
}

/** @param {{layout: import("./layout.js").Layout, spots: import("../types.js").Spot[], target: number | null, tolerance: number | null}} props */
export function Readings({ layout, spots, target, tolerance }) {
  const { width, row } = cellSize(layout, spots);
  const level = alongIsAcrossReader(layout.view);
  const { inner } = layout;
  return spots.map((spot) => {
    const rows = [
      { value: spot.along_a_n_per_cm, level },
      { value: spot.across_a_n_per_cm, level: !level },
    ].filter((one) => one.value !== null && one.value !== undefined);
    const [cx, cy] = toDrawing(layout, spot.u, spot.v);
    const tall = rows.length * row;
    const x = clamp(cx - width / 2, inner.x + 2, inner.x + inner.w - width - 2);
    const y = clamp(cy - tall / 2, inner.y + 2, inner.y + inner.h - tall - 2);
    return (
      <g key={`${spot.u} ${spot.v}`}>
        {rows.map((one, i) => (
          <Row key={i} x={x} y={y + i * row} width={width} row={row} first={i === 0} target={target} tolerance={tolerance} level={one.level} value={/** @type {number} */ (one.value)} />
        ))}
      </g>
    );
  });
}
