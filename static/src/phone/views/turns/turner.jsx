/** Turning bolts on the drawing: each tap adds one step, the minus key loosens, totals are signed. */
import { boltName } from "../../../shared/drawing/bolts.jsx";
import { t } from "../../../shared/language.js";
import { turnText } from "../../../shared/turns.js";
import { BOLT_IS } from "../../../shared/words.js";
import { useApp } from "../../ui/app.js";
import { Drawing, Lie } from "../../ui/drawing.jsx";
import { hiddenHere } from "../../ui/in_hand.js";
import { tapBack, turned } from "./turning.js";

/** Sign and size of the next tap. @param {any} props */
function Keys({ turning, onChange, step, size, sizes, onSize }) {
  const sign = (/** @type {1 | -1} */ value, /** @type {string} */ text) => (
    <button type="button" class="option" aria-pressed={turning.sign === value} onClick={() => onChange({ ...turning, sign: value })}>{text}</button>
  );
  return (
    <>
      <div class="turn-keys" role="group" aria-label={t`What a tap does`}>
        {sign(1, t`+ tighten`)}
        {sign(-1, t`− loosen`)}
        <button type="button" class="option" aria-label={t`Take back the last tap`} aria-disabled={turning.taps.length === 0} onClick={() => onChange(tapBack(turning))}>{t`⌫ back`}</button>
      </div>
      {sizes && (
        <div class="turn-keys" role="group" aria-label={t`Size of a tap`}>
          {sizes.map((/** @type {number} */ value) => (
            <button key={value} type="button" class="option" aria-pressed={size === value} onClick={() => onSize(value)}>{turnText(value, step).slice(1)}</button>
          ))}
        </div>
      )}
    </>
  );
}

/**
 * @param {object} props
 * @param {any} props.card @param {import("../../../shared/types.js").View} props.view @param {(view: any) => void} props.onView
 * @param {import("./turning.js").Turning} props.turning @param {(turning: import("./turning.js").Turning) => void} props.onChange
 * @param {number[]} [props.sizes] @param {number} [props.size] @param {(size: number) => void} [props.onSize]
 * @param {boolean} [props.sides]  offer to turn all bolts of a side
 * @param {string | null} [props.press]  where turning is done on one for certain
 */
export function Turner({ card, view, onView, turning, onChange, sizes, size, onSize, sides = false, press }) {
  const app = useApp();
  const { context, notify } = app;
  const { thing, frame } = card;
  const step = thing.step_48ths;
  const amount = turning.sign * (size ?? step);
  const hidden = hiddenHere(card, view, app, press);

  function tap(/** @type {string} */ bolt) {
    const state = frame.bolts[bolt];
    if (state) notify({ sort: "trouble", text: t`${bolt} is ${BOLT_IS[state]}. If it turns again: More, then “Seized, broken, freed”.` });
    else onChange(turned(turning, [bolt], amount));
  }

  const label = (/** @type {string} */ bolt) =>
    `${bolt} ${turnText(turning.turns[bolt] ?? 0, step)}${boltName("", frame.bolts[bolt], hidden.includes(bolt))}. ${t`Turn ${turnText(amount, step)}`}`;
  const whole = (/** @type {string} */ side) =>
    (thing.bolts[side] ?? []).map((/** @type {number} */ _, /** @type {number} */ i) => `${side}${i + 1}`).filter((/** @type {string} */ bolt) => !frame.bolts[bolt]);
  return (
    <div class="turner">
      <Lie view={view} open={!context.asked} onChange={onView} />
      <Drawing touch frame={thing} view={view} maxHeight={380} turns={turning.turns} hidden={hidden} states={frame.bolts} onBolt={tap} boltLabel={label} />
      <Keys turning={turning} onChange={onChange} step={step} size={size} sizes={sizes} onSize={onSize} />
      {sides && (
        <div class="turn-keys of-sides" role="group" aria-label={t`All bolts of a side`}>
          {["A", "B", "C", "D"].map((side) => (
            <button key={side} type="button" class="option" onClick={() => onChange(turned(turning, whole(side), amount))}>{t`All ${side}`}</button>
          ))}
        </div>
      )}
    </div>
  );
}
