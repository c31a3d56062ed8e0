import { tensionText } from "../units.js";
import { alongIsAcrossReader } from "./lie.js";
import { toDrawing } from "./layout.js";
import { missColour } from "./misses.js";

const CELL = 68;
const ROW = 23;

const clamp = (/** @type {number} */ at, /** @type {number} */ low, /** @type {number} */ high) =>
  Math.max(low, Math.min(high, at));

/** Both ways, or the one that was read. @param {import("../types.js").Spot} spot @param {boolean} level */
const rowsOf = (spot, level) =>
  [{ value: spot.along_a_n_per_cm, level }, { value: spot.across_a_n_per_cm, level: !level }].filter(({ value }) => value !== null && value !== undefined);

/** Where a spot's cell lies, inside the mesh. @param {import("./layout.js").Layout} layout @param {import("../types.js").Spot} spot @param {{width: number, row: number}} size */
function cell(layout, spot, { width, row }) {
  const { inner } = layout;
  const [cx, cy] = toDrawing(layout, spot.u, spot.v);
  const tall = rowsOf(spot, true).length * row;
  return {
    x: clamp(cx - width / 2, inner.x + 2, inner.x + inner.w - width - 2),
    y: clamp(cy - tall / 2, inner.y + 2, inner.y + inner.h - tall - 2),
    tall,
  };
}

/** @param {import("./layout.js").Layout} layout @param {import("../types.js").Spot[]} spots @param {{width: number, row: number}} size */
function isClear(layout, spots, size) {
  const cells = spots.map((spot) => cell(layout, spot, size));
  return cells.every((one, i) => cells.slice(i + 1).every((two) =>
    Math.abs(one.x - two.x) >= size.width || one.y >= two.y + two.tall || two.y >= one.y + one.tall));
}

/** Cells keep clear of each other, however small the frame is drawn and wherever a further spot was read. @param {import("./layout.js").Layout} layout @param {import("../types.js").Spot[]} spots */
function cellSize(layout, spots) {
  const sizes = (spots.length > 1 ? [3, 4, 5, 6] : [1]).map((lines) => ({
    width: Math.max(34, Math.min(CELL, layout.inner.w / lines - 3)),
    row: Math.max(16, Math.min(ROW, (layout.inner.h / lines - 3) / 2)),
  }));
  return sizes.find((size) => isClear(layout, spots, size)) ?? sizes[sizes.length - 1];
}

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
  const size = cellSize(layout, spots);
  const { width, row } = size;
  const level = alongIsAcrossReader(layout.view);
  return spots.map((spot) => {
    const { x, y } = cell(layout, spot, size);
    return (
      <g key={`${spot.u} ${spot.v}`}>
        {rowsOf(spot, level).map((one, i) => (
          <Row key={i} x={x} y={y + i * row} width={width} row={row} first={i === 0} target={target} tolerance={tolerance} level={one.level} value={/** @type {number} */ (one.value)} />
        ))}
      </g>
    );
  });
}
