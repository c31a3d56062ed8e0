import { turnNumber } from "../turns.js";
import { pressed } from "./keys.js";

const WORDS = { seized: "seized", broken: "broken" };

/** Where a bolt's number stands: on the mesh side of it. */
function numberPlace(bolt, touch) {
  const off = touch ? 33 : 20;
  return {
    near: [bolt.x, bolt.y - off + 4],
    far: [bolt.x, bolt.y + off + 4],
    left: [bolt.x + off, bolt.y + 4],
    right: [bolt.x - off, bolt.y + 4],
  }[bolt.place];
}

/** A cross for a broken bolt, a bar for a seized one: told apart without colour. */
function StateSign({ x, y, r, state }) {
  const d = r * 0.7;
  const cross = `M${x - d} ${y - d}L${x + d} ${y + d}M${x - d} ${y + d}L${x + d} ${y - d}`;
  return <path d={state === "broken" ? cross : `M${x - r} ${y}H${x + r}`} class="fd-sign" />;
}

function Bolt({ bolt, id, touch, turn, step, hidden, state, next, chosen, number }) {
  const r = touch ? 19 : turn ? 13 : 8;
  const look = next ? "is-next" : turn ? "is-turned" : chosen ? "is-chosen" : "";
  const [nx, ny] = numberPlace(bolt, touch);
  const text = turn ? turnNumber(turn, step) : "";
  return (
    <>
      <circle cx={bolt.x} cy={bolt.y} r={r} class={`fd-bolt ${look}`} fill={hidden && !turn ? `url(#${id}hatch)` : undefined} />
      {state && <StateSign x={bolt.x} y={bolt.y} r={r} state={state} />}
      {text && (
        <text x={bolt.x} y={bolt.y + (touch ? 6 : 5)} class={`fd-turn${text.length > 3 ? " is-long" : ""}`}>{text}</text>
      )}
      {number && <text x={nx} y={ny} class="fd-number">{bolt.number}</text>}
    </>
  );
}

/** Sides with many bolts on a small drawing number only the first, the last and every other. */
function numbered(bolt, layout, counts) {
  const count = counts[bolt.side];
  if (layout.touch) return !layout.sides.some((mark) => mark.side === bolt.side && mark.folded) || ends(bolt, count);
  return count <= 8 || ends(bolt, count);
}

const ends = (bolt, count) => bolt.number === 1 || bolt.number === count;

/** @param {any} props what FrameDrawing got, with its layout */
export function Bolts({ layout, id, step, turns = {}, hidden = [], states = {}, next, chosen = [], onBolt, boltLabel }) {
  const counts = /** @type {Record<string, number>} */ ({});
  for (const bolt of layout.bolts) counts[bolt.side] = (counts[bolt.side] ?? 0) + 1;
  const folded = new Set(layout.sides.filter((mark) => mark.folded).map((mark) => mark.side));
  return (
    <>
      {layout.punch && <circle cx={layout.punch.x} cy={layout.punch.y} r="3.5" class="fd-punch" />}
      {layout.bolts.map((bolt) => {
        const small = !layout.touch || folded.has(bolt.side);
        const drawn = (
          <Bolt
            bolt={bolt} id={id} touch={!small} turn={turns[bolt.name] ?? 0} step={step}
            hidden={hidden.includes(bolt.name)} state={states[bolt.name]} next={next === bolt.name}
            chosen={chosen.includes(bolt.name)} number={numbered(bolt, layout, counts)}
          />
        );
        if (!onBolt || small) return <g key={bolt.name} class="fd-still">{drawn}</g>;
        const label = boltLabel ? boltLabel(bolt.name) : boltName(bolt.name, states[bolt.name], hidden.includes(bolt.name));
        return (
          <g
            key={bolt.name} class="fd-tap" role="button" tabIndex={0} aria-label={label} data-bolt={bolt.name}
            onClick={() => onBolt(bolt.name)} onKeyDown={(event) => pressed(event) && onBolt(bolt.name)}
          >
            <rect x={bolt.hit.x} y={bolt.hit.y} width={bolt.hit.w} height={bolt.hit.h} class="fd-hit" />
            {drawn}
          </g>
        );
      })}
    </>
  );
}

/** A bolt's name with what is known about it. */
export function boltName(name, state, hidden) {
  const facts = [state && WORDS[state], hidden && "under a clamp"].filter(Boolean);
  return facts.length ? `Bolt ${name}, ${facts.join(", ")}` : `Bolt ${name}`;
}
