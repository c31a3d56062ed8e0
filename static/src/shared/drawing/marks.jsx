import { decimal } from "../language.js";
import { seenVector } from "./lie.js";
import { toDrawing } from "./layout.js";

const SHORTEST = 16;
const LONGEST = 44;
/** Of a small mesh an arrow takes no more than this, so that it stays off the bolts. */
const SHARE = 0.16;
const LABEL = 60;
/** Arrows of the image stand close together, five in a row. */
const MOVE = 30;
const ROW = 6.5;

/**
 * Arrow from a mark's place towards where it printed; its length only compares marks.
 * @param {{layout: import("./layout.js").Layout, mark: import("../types.js").Mark, longest: number, id: string, below: boolean}} props
 */
function Arrow({ layout, mark, longest, id, below }) {
  const [x, y] = toDrawing(layout, mark.u, mark.v);
  const [right, away] = seenVector(layout.view, mark.dx_mm, mark.dy_mm);
  const size = Math.hypot(right, away);
  const most = Math.max(SHORTEST, Math.min(LONGEST, layout.inner.w * SHARE));
  const px = size === 0 ? 0 : SHORTEST + (most - SHORTEST) * (size / longest);
  const [dx, dy] = size === 0 ? [0, 0] : [(right / size) * px, (-away / size) * px];
  const left = dx > 0;
  const { inner } = layout;
  // Beside its mark on the side away from the arrow; near a bar, where bolts are, below it and
  // towards the middle.
  const cramped = below || (left ? x - LABEL < inner.x : x + LABEL > inner.x + inner.w);
  const turned = cramped ? x > inner.x + inner.w / 2 : left;
  return (
    <g>
      <circle cx={x} cy={y} r="6" class="fd-mark" />
      {px > 0 && <path d={`M${x} ${y}l${dx} ${dy}`} class="fd-arrow" marker-end={`url(#${id}head)`} />}
      <text x={x + (turned ? -10 : 10)} y={y + (cramped ? 26 : 6)} class={`fd-miss${turned ? " is-left" : ""}`}>{decimal(size.toFixed(2))}</text>
    </g>
  );
}

/** @param {{layout: import("./layout.js").Layout, marks: import("../types.js").Mark[], id: string, below: boolean}} props `below`: numbers keep out of the way of other arrows */
export function Marks({ layout, marks, id, below }) {
  const longest = Math.max(0, ...marks.map((mark) => Math.hypot(mark.dx_mm, mark.dy_mm)));
  return (
    <>
      {marks.length > 0 && (
        <defs>
          <marker id={`${id}head`} markerWidth="4" markerHeight="4" refX="2" refY="2" orient="auto">
            <path d="M0 0L4 2L0 4z" class="fd-head" />
          </marker>
        </defs>
      )}
      {marks.map((mark, i) => <Arrow key={i} layout={layout} mark={mark} longest={longest} id={id} below={below} />)}
    </>
  );
}

/** Arrows of how the image will move, without numbers: they lie beside what the marks say. @param {{layout: import("./layout.js").Layout, moves: import("../types.js").Mark[], id: string}} props */
export function Moves({ layout, moves, id }) {
  const longest = Math.max(0, ...moves.map((move) => Math.hypot(move.dx_mm, move.dy_mm)));
  if (longest === 0) return null;
  return (
    <g class="fd-moves">
      <defs>
        <marker id={`${id}movehead`} markerWidth="4" markerHeight="4" refX="2" refY="2" orient="auto"><path d="M0 0L4 2L0 4z" /></marker>
      </defs>
      {moves.map((move) => {
        const [x, y] = toDrawing(layout, move.u, move.v);
        const [right, away] = seenVector(layout.view, move.dx_mm, move.dy_mm);
        const px = Math.min(MOVE, layout.inner.w / ROW) / longest;
        return <path key={`${move.u} ${move.v}`} d={`M${x} ${y}l${right * px} ${-away * px}`} marker-end={`url(#${id}movehead)`} />;
      })}
    </g>
  );
}
