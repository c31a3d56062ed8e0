import { t } from "../language.js";
import { turnNumber } from "../turns.js";
import { BOLT_IS } from "../words.js";
import { pressed } from "./keys.js";
import { LESS, LETTER, MEANT, ROOMY, WIDE, large as isLarge, numbersFit, radius, roomFor } from "./room.js";

/**
 * @typedef {import("./layout.js").Bolt} LaidBolt
 * @typedef {import("./layout.js").Layout} Layout
 */

/** Beside a bolt, towards the mesh or, below nought, outside the frame. @param {LaidBolt} bolt @param {number} off @returns {[number, number]} */
function beside(bolt, off) {
  return /** @type {Record<import("../types.js").Place, [number, number]>} */ ({
    near: [bolt.x, bolt.y - off + 4],
    far: [bolt.x, bolt.y + off + 4],
    left: [bolt.x + off, bolt.y + 4],
    right: [bolt.x - off, bolt.y + 4],
  })[bolt.place];
}

/**
 * Where a bolt's number stands: in the bolt while there is room and nothing else to say there.
 * @param {LaidBolt} bolt @param {{touch: boolean, r: number, busy: boolean, end: boolean, roomy: number}} how
 */
function numberPlace(bolt, { touch, r, busy, end, roomy }) {
  if (!busy && r >= roomy) return [bolt.x, bolt.y + (touch ? 6 : 4)];
  if (touch) return beside(bolt, 33);
  const broad = bolt.number > 9 && (bolt.place === "left" || bolt.place === "right");
  return end || r >= roomy ? beside(bolt, -Math.max(19, r + 10) - (broad ? 3 : 0)) : null;
}

/**
 * Ticks round a bolt that does not turn, level for seized, crosswise for broken: the number stays.
 * @param {{x: number, y: number, r: number, state: import("../types.js").BoltState}} props
 */
function StateSign({ x, y, r, state }) {
  const [from, to] = state === "broken" ? [r * 0.71, r * 0.71 + 4] : [r, r + 5];
  const tick = (/** @type {number} */ sx, /** @type {number} */ sy) => `M${x + sx * from} ${y + sy * from}L${x + sx * to} ${y + sy * to}`;
  const ticks = state === "broken" ? [tick(1, 1), tick(-1, 1), tick(1, -1), tick(-1, -1)] : [tick(1, 0), tick(-1, 0)];
  return <path d={ticks.join("")} class="fd-sign" />;
}

/**
 * @param {{bolt: LaidBolt, id: string, touch: boolean, turn: number, step: number, fit: boolean, hidden: boolean,
 *   state?: import("../types.js").BoltState, next: boolean, done: boolean, chosen: boolean, r: number, end: boolean, roomy: number}} props
 */
function Bolt({ bolt, id, touch, turn, step, fit, hidden, state, next, done, chosen, r, end, roomy }) {
  const look = next ? "is-next" : done ? "is-done" : turn ? "is-turned" : chosen ? "is-chosen" : "";
  const told = r < ROOMY || (next && r === MEANT) ? "" : done ? "✓" : turn ? turnNumber(turn, step) : "";
  const text = touch || done || fit ? told : "";
  const tight = !touch && text.length * LESS > roomFor(r) ? roomFor(r) : undefined;
  const long = touch ? text.length > 3 : text.length * LETTER > 2 * r - 1;
  const place = numberPlace(bolt, { touch, r, busy: Boolean(told), end, roomy });
  return (
    <>
      <circle cx={bolt.x} cy={bolt.y} r={r} class={`fd-bolt ${look}${state ? ` is-${state}` : ""}`} fill={hidden && !turn ? `url(#${id}hatch)` : undefined} />
      {state && <StateSign x={bolt.x} y={bolt.y} r={r} state={state} />}
      {text && (
        <text x={bolt.x} y={bolt.y + (touch ? 6 : 5)} class={`fd-turn${long ? " is-long" : ""}`} textLength={tight} lengthAdjust={tight && "spacingAndGlyphs"}>{text}</text>
      )}
      {place && <text x={place[0]} y={place[1]} class={`fd-number${told || r < roomy ? " is-beside" : ""}`}>{bolt.number}</text>}
    </>
  );
}

/**
 * The button over a bolt. What it is called stands in its label: the drawing beneath is for the eye.
 * @param {{bolt: LaidBolt, label: string, onBolt: (name: string) => void}} props
 */
function Hit({ bolt, label, onBolt }) {
  const { x, y, w, h } = bolt.hit;
  return (
    <rect
      x={x} y={y} width={w} height={h} class="fd-hit" role="button" tabIndex={0} aria-label={label} data-bolt={bolt.name}
      onClick={() => onBolt(bolt.name)} onKeyDown={(event) => pressed(event) && onBolt(bolt.name)}
    />
  );
}

/** @param {import("./frame.jsx").DrawingProps & {layout: Layout, id: string, step: number}} props what FrameDrawing got, with its layout */
export function Bolts({ layout, id, step, turns = {}, hidden = [], states = {}, next, done = [], chosen = [], onBolt, boltLabel }) {
  const last = /** @type {Record<string, number>} */ ({});
  for (const bolt of layout.bolts) last[bolt.side] = Math.max(last[bolt.side] ?? 0, bolt.number);
  const large = (/** @type {LaidBolt} */ bolt) => isLarge(layout, bolt);
  const fit = numbersFit(layout, turns, step);
  const label = boltLabel ?? ((/** @type {string} */ name) => boltName(name, states[name], hidden.includes(name)));
  return (
    <>
      {layout.punch && <circle cx={layout.punch.x} cy={layout.punch.y} r="3.5" class="fd-punch" />}
      {[...layout.bolts].sort((one, two) => Number(one.name === next) - Number(two.name === next)).map((bolt) => (
        <g key={bolt.name} class={large(bolt) ? "fd-large" : ""}>
          <Bolt
            bolt={bolt} id={id} touch={large(bolt)} turn={turns[bolt.name] ?? 0} step={step} fit={fit}
            hidden={hidden.includes(bolt.name)} state={states[bolt.name]} next={next === bolt.name} done={done.includes(bolt.name)} chosen={chosen.includes(bolt.name)}
            r={radius(bolt, layout, turns[bolt.name] ?? 0, !large(bolt), next === bolt.name)} end={bolt.number === 1 || bolt.number === last[bolt.side]} roomy={last[bolt.side] > 9 ? WIDE : ROOMY}
          />
        </g>
      ))}
      {onBolt && layout.bolts.filter(large).map((bolt) => <Hit key={`hit ${bolt.name}`} bolt={bolt} label={label(bolt.name)} onBolt={onBolt} />)}
    </>
  );
}

/** A bolt's name with what is known about it. @param {string} name @param {import("../types.js").BoltState | undefined} state @param {boolean} hidden */
export function boltName(name, state, hidden) {
  const facts = [state && BOLT_IS[state], hidden && t`under a clamp`].filter(Boolean);
  return [name, ...facts].join(", ");
}
