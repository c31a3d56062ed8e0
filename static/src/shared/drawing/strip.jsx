import { t } from "../language.js";
import { turnNumber } from "../turns.js";
import { PLACE } from "../words.js";
import { placeOf } from "./lie.js";
import { boltName } from "./bolts.jsx";

/** @type {Record<import("../types.js").Place, import("../types.js").Place[]>} */
const ENDS = { near: ["left", "right"], far: ["left", "right"], left: ["far", "near"], right: ["far", "near"] };

/**
 * A side with more bolts than fingers can hit on the drawing, unfolded into a row of buttons.
 * @param {object} props
 * @param {import("./layout.js").Layout} props.layout @param {import("../types.js").View} props.view @param {import("../types.js").Side} props.side
 * @param {Record<string, number>} [props.turns] @param {Record<string, import("../types.js").BoltState>} [props.states] @param {string[]} [props.hidden]
 * @param {number} props.step @param {string | null} [props.next] @param {string[]} [props.chosen]
 * @param {(name: string) => void} props.onBolt @param {(name: string) => string} [props.boltLabel]
 */
export function BoltStrip({ layout, view, side, turns = {}, states = {}, hidden = [], step, next, chosen = [], onBolt, boltLabel }) {
  const [first, last] = ENDS[placeOf(view, side)];
  const bolts = layout.bolts.filter((/** @type {any} */ bolt) => bolt.side === side);
  return (
    <div class="bolt-strip" role="group" aria-label={t`Bolts of side ${side}`}>
      <div class="strip-ends" aria-hidden="true"><span>{PLACE[first]}</span><b>{t`side ${side}`}</b><span>{PLACE[last]}</span></div>
      <div class="strip-bolts">
        {bolts.map((/** @type {any} */ { name }) => (
          <button
            key={name} type="button" data-bolt={name}
            class={[turns[name] && "is-turned", next === name && "is-next", chosen.includes(name) && "is-chosen", hidden.includes(name) && "is-hidden", states[name] && `is-${states[name]}`].filter(Boolean).join(" ")}
            aria-label={boltLabel ? boltLabel(name) : boltName(name, states[name], hidden.includes(name))}
            onClick={() => onBolt(name)}
          >
            <span class="strip-number">{name}</span>{" "}
            <span class="strip-turn">{turns[name] ? turnNumber(turns[name], step) : "·"}</span>
          </button>
        ))}
      </div>
    </div>
  );
}
