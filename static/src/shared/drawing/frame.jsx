/**
 * The drawing of a frame as it lies before the reader: one component for phone, office and print.
 * Sides lettered, bolts numbered in counting order, the punch mark at A1, bolts under clamps
 * hatched, readings in place, turns as signed numbers, arrows for register marks.
 */
import { useId } from "preact/hooks";

import { t } from "../language.js";
import { FACE, PLACE } from "../words.js";
import { Bolts } from "./bolts.jsx";
import { pressed } from "./keys.js";
import { framePoint } from "./lie.js";
import { layOut } from "./layout.js";
import { Marks, Moves } from "./marks.jsx";
import { Meter } from "./meter.jsx";
import { Readings } from "./readings.jsx";

/** "Squeegee side up, A near you": how it lies, in words. @param {import("../types.js").View} view */
export const lieText = (view) => t`${FACE[view.face]}, ${view.near} near you`;

/** @param {{layout: import("./layout.js").Layout, id: string}} props */
function Ground({ layout, id }) {
  const { outer, inner } = layout;
  return (
    <>
      <defs>
        <pattern id={`${id}weave`} width="6" height="6" patternUnits="userSpaceOnUse">
          <path d="M0 3H6M3 0V6" class="fd-thread" />
        </pattern>
        <pattern id={`${id}hatch`} width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
          <rect width="5" height="5" class="fd-hatch-ground" />
          <path d="M1 0V5" class="fd-hatch-line" />
        </pattern>
      </defs>
      <rect x={outer.x} y={outer.y} width={outer.w} height={outer.h} class="fd-profile" />
      <rect x={inner.x} y={inner.y} width={inner.w} height={inner.h} class="fd-mesh" fill={`url(#${id}weave)`} />
    </>
  );
}

/** @param {{layout: import("./layout.js").Layout, onSide?: (side: import("../types.js").Side) => void, open?: string | null}} props */
function Sides({ layout, onSide, open }) {
  return layout.sides.map((mark) => (
    <g key={mark.side}>
      <text x={mark.x} y={mark.y + 6} class="fd-side">{mark.side}</text>
      {onSide && mark.folded && (
        <rect
          x={mark.hit.x} y={mark.hit.y} width={mark.hit.w} height={mark.hit.h}
          class={`fd-unfold${open === mark.side ? " is-open" : ""}`}
          role="button" tabIndex={0} aria-label={t`Side ${mark.side}, ${PLACE[mark.place]}: show its bolts`}
          aria-pressed={open === mark.side}
          onClick={() => onSide(mark.side)}
          onKeyDown={(event) => pressed(event) && onSide(mark.side)}
        />
      )}
    </g>
  ));
}

/**
 * A tap on the mesh, in frame fractions.
 * @param {any} event @param {import("./layout.js").Layout} layout @param {(at: {u: number, v: number}) => void} onPoint
 */
function tapped(event, layout, onPoint) {
  const box = event.currentTarget.getBoundingClientRect();
  const right = (event.clientX - box.left) / box.width;
  const away = 1 - (event.clientY - box.top) / box.height;
  const [u, v] = framePoint(layout.view, right, away);
  onPoint({ u, v });
}

/**
 * @typedef {object} DrawingProps
 * @property {import("../types.js").Frame} frame
 * @property {import("../types.js").View} view
 * @property {number} width  CSS pixels; the drawing is never scaled, so text keeps its size
 * @property {number} [maxHeight]
 * @property {boolean} [touch]  bolts are buttons, drawn and spaced for a finger
 * @property {string} [title]
 * @property {import("../types.js").Spot[]} [spots] @property {number | null} [target] @property {number | null} [tolerance]
 * @property {Record<string, number>} [turns]  in 48ths at each bolt, + tightens
 * @property {string[]} [hidden]  bolts under clamps
 * @property {Record<string, import("../types.js").BoltState>} [states]
 * @property {string | null} [next]  the bolt that is meant
 * @property {string[]} [done]  bolts ticked off
 * @property {string[]} [chosen]
 * @property {import("../types.js").Mark[]} [marks]
 * @property {import("../types.js").Mark[]} [moves]  how the image will move
 * @property {{u: number, v: number, direction: import("../types.js").Direction} | null} [meter]
 * @property {(name: string) => void} [onBolt]
 * @property {(name: string) => string} [boltLabel]  what a bolt button is called aloud
 * @property {(side: import("../types.js").Side) => void} [onSide] @property {string | null} [openSide]
 * @property {(at: {u: number, v: number}) => void} [onPoint]
 * @property {(layout: import("./layout.js").Layout) => any} [over]  what else is drawn over the mesh
 */

/** @param {DrawingProps} props */
export function FrameDrawing(props) {
  const { frame, view, width, maxHeight, touch = false, onPoint, onBolt } = props;
  const id = useId();
  const turned = Object.keys(props.turns ?? {}).length > 0;
  const layout = layOut(frame, view, { width, maxHeight, touch, turned });
  const active = Boolean(onBolt || onPoint);
  const title = props.title ?? t`Frame ${frame.code}. ${lieText(view)}`;
  return (
    <svg
      class={`frame-drawing${touch ? " is-touch" : ""}`} width={layout.width} height={layout.height}
      viewBox={`0 0 ${layout.width} ${layout.height}`} role={active ? "group" : "img"} aria-label={title}
    >
      <title>{title}</title>
      <Ground layout={layout} id={id} />
      {onPoint && (
        <rect
          x={layout.inner.x} y={layout.inner.y} width={layout.inner.w} height={layout.inner.h}
          class="fd-points" onClick={(event) => tapped(event, layout, onPoint)}
        />
      )}
      <Sides layout={layout} onSide={props.onSide} open={props.openSide} />
      <Readings layout={layout} spots={props.spots ?? []} target={props.target ?? null} tolerance={props.tolerance ?? null} />
      <Meter layout={layout} meter={props.meter ?? null} />
      <Moves layout={layout} moves={props.moves ?? []} id={id} />
      <Marks layout={layout} marks={props.marks ?? []} id={id} below={Boolean(props.moves?.length)} />
      {props.over?.(layout)}
      <Bolts layout={layout} id={id} step={frame.step_48ths} {...props} />
    </svg>
  );
}
