/** A tension check: spot after spot with the meter drawn as it lies, digits and a half. */
import { useState } from "preact/hooks";

import { seenPoint } from "../../../shared/drawing/lie.js";
import { spotName, spotsOf } from "../../../shared/drawing/spots.js";
import { decimal, n, t } from "../../../shared/language.js";
import { tensionText } from "../../../shared/units.js";
import { useApp } from "../../ui/app.js";
import { Drawing } from "../../ui/drawing.jsx";
import { useKept, useSubmit } from "../../ui/forms.js";
import { Keypad } from "../../ui/keypad.jsx";
import { Action, Page } from "../../ui/page.jsx";
import { withFrame } from "../gate.jsx";
import { begin, goTo, offNeighbours, press, range, readFrom, readSpots, skip, walk } from "./readings.js";
import { Setup, setupText } from "./setup.jsx";
import { useWarmAdvice } from "./warm.js";

/** Meters that show finer steps than a half get a point on their number pad. */
const HALF = 0.5;
/** Height of head, readings, keys and foot: what is left goes to the drawing. */
const BELOW_AND_ABOVE = { least: 196, most: 320, around: 600 };
/** On a short screen what is typed stands beside the drawing, so that all keys are in sight. */
const SHORT = 700;
const BESIDE = { least: 140, most: 190, around: 444 };
/** Once all is read the drawing takes the place of the digits; half a unit can still be added to the last reading. */
const READ = { least: 196, most: 320, around: 372 };
const roomFor = (/** @type {{least: number, most: number, around: number}} */ { least, most, around }) => Math.min(most, Math.max(least, window.innerHeight - around));
const DIRECTION = { along_a: t`meter along A`, across_a: t`meter across A` };

/**
 * @typedef {object} Values
 * @property {import("../../../shared/types.js").View} view
 * @property {import("../../../shared/drawing/spots.js").SpotSet | null} set  null: spots as once saved
 * @property {"bare" | "coated"} stencil @property {string | null} meter
 * @property {import("./readings.js").Readings} readings
 */

/**
 * What a new check starts with: told settings, no reading.
 * @param {any} card @param {import("../../ui/remembered.js").Context} context @param {any} shop @returns {Values}
 */
function fresh(card, context, shop) {
  const view = { face: context.face, near: context.near };
  const set = context.spots ?? shop.spots;
  const stencil = card.screen?.stencil === "bare" ? "bare" : "coated";
  const readings = begin(spotsOf(set, card.thing, view), shop.reading_order ?? "both");
  return { view, set, stencil, meter: context.meter, readings };
}

/** A saved check, opened to be put right. @param {any} entry @param {any} shop @returns {Values} */
function saved(entry, shop) {
  const { face, near, stencil, meter, spots } = entry.payload;
  const readings = begin(spots.map((/** @type {any} */ { u, v }) => ({ u, v })), shop.reading_order ?? "both", readFrom(spots));
  return { view: { face, near }, set: null, stencil, meter: meter ?? null, readings };
}

/**
 * Other spots for the same check: readings of spots that stay are kept.
 * @param {Values} values @param {import("../../../shared/drawing/spots.js").SpotSet} set @param {any} card @returns {Values}
 */
function withSpots(values, set, card) {
  const { readings, view } = values;
  return { ...values, set, readings: begin(spotsOf(set, card.thing, view), readings.order, readings.read) };
}

/** @param {string | null} last @param {{low: number, high: number, spread: number} | false | null} so */
function soFar(last, so) {
  const spread = so && t`spread ${tensionText(so.spread)} (${tensionText(so.low)} to ${tensionText(so.high)})`;
  return [last, spread].filter(Boolean).join(" · ") || t`N/cm: two digits, then the next spot`;
}

/** Big: what is being typed. Small: what was read last, and the spread so far. @param {any} props */
function Reading({ values, onAgain, limit }) {
  const { readings, view } = values;
  const steps = walk(readings.spots, readings.order);
  const step = steps[readings.at];
  const last = readings.last === null ? null : steps[readings.last];
  const off = readings.last === null ? null : offNeighbours(readings, readings.last);
  const so = range(readings);
  const name = (/** @type {any} */ one) => spotName(...seenPoint(view, one.spot.u, one.spot.v));
  return (
    <div class="reading" aria-live="polite">
      <p class="reading-now">
        <output class="digits">
          {step ? <><span>{readings.typed[0]}</span><span>{readings.typed[1]}</span></> : <span class="done">✓</span>}
        </output>
        <span>{step ? <><b>{name(step)}</b><br />{DIRECTION[step.direction]}</> : <b>{t`All spots read`}</b>}</span>
      </p>
      {off !== null && off > limit ? (
        <p class="reading-off">
          <span>{t`${tensionText(readings.read[/** @type {any} */ (last).key])} is ${tensionText(off)} from its neighbours.`}</span>
          <button type="button" class="small" onClick={onAgain}>{t`Read again`}</button>
        </p>
      ) : (
        <p class="reading-last soft">
          {soFar(last && t`Last ${tensionText(readings.read[last.key])}, ${name(last)}`, so && readSpots(readings).length > 1 && so)}
        </p>
      )}
    </div>
  );
}

/** The nearest spot to a tap becomes the one to read. @param {import("./readings.js").Readings} readings @param {{u: number, v: number}} at */
function nearest(readings, at) {
  const steps = walk(readings.spots, readings.order);
  const far = (/** @type {any} */ step) => Math.hypot(step.spot.u - at.u, step.spot.v - at.v);
  return steps.reduce((best, step, i) => (far(step) < far(steps[best]) ? i : best), 0);
}

/** @param {{card: any, code: string, arg?: string | null, correcting?: any}} props */
export function CheckForm({ card, code, correcting = null }) {
  const { things, context, remember } = useApp();
  const { shop } = things;
  const kept = useKept("tension_check", card, () => (correcting ? saved(correcting, shop) : fresh(card, context, shop)), correcting);
  const submit = useSubmit("tension_check", card, correcting);
  const [setting, setSetting] = useState(!context.asked);
  useWarmAdvice(card);
  if (!kept) return null;
  const { values, set } = kept;
  const { readings, view } = values;
  const steps = walk(readings.spots, readings.order);
  const step = steps[readings.at];
  const count = Object.keys(readings.read).length;
  const put = (/** @type {any} */ next) => set({ ...values, readings: next });

  function change(/** @type {any} */ news) {
    if (news.set) set(withSpots(values, news.set, card));
    else set({ ...values, ...news });
    const { face = view.face, near = view.near } = news.view ?? {};
    remember({ face, near, meter: news.meter ?? values.meter, ...(news.set ? { spots: news.set } : {}) });
  }

  function save() {
    const payload = { meter: values.meter, face: view.face, near: view.near, stencil: values.stencil, spots: readSpots(readings) };
    submit(payload, { text: n(count)`Check of ${code}, # reading.|Check of ${code}, # readings.` }, { draft: kept?.draft });
  }

  const tenths = (things.get("meter", values.meter)?.resolution_n_per_cm ?? HALF) < HALF;
  const short = window.innerHeight < SHORT;
  const all = short && !step && !tenths;
  const room = setting ? 240 : roomFor(short ? (all ? READ : BESIDE) : BELOW_AND_ABOVE);
  const reading = !setting && <Reading values={values} limit={shop.spread_limit_n_per_cm ?? 3} onAgain={() => put(press({ ...readings, typed: "" }, "back"))} />;
  return (
    <Page
      pad={!setting && (
        <>
          {!short && reading}
          <Keypad left={tenths ? decimal(".") : "½"} leftName={tenths ? t`decimal point` : t`and a half`} few={all} onKey={(key) => put(press(readings, key))} />
        </>
      )}
      title={code} name="check" sub={correcting ? t`Put a check right` : t`Check`}
      foot={setting ? (
        <Action go wide onClick={() => { remember({ face: view.face, near: view.near }); setSetting(false); }}>{t`It lies like this`}</Action>
      ) : (
        <>
          <Action disabled={!step} onClick={() => put(skip(readings))}>{t`Skip`}</Action>
          <Action go={!step || count > 0} disabled={count === 0} onClick={save}>{t`Save ${count} of ${steps.length}`}</Action>
        </>
      )}
    >
      <button type="button" class="quiet setup-line" aria-expanded={setting} onClick={() => setSetting(!setting)}>
        {setupText(values, things)} {!setting && <span class="link">{t`Change`}</span>}
      </button>
      <div class={short && reading && !all ? "check-beside" : ""}>
        <Drawing
          frame={card.thing} view={view} maxHeight={room}
          spots={readSpots(readings)} target={card.screen?.target_n_per_cm} tolerance={card.screen?.tolerance_n_per_cm} states={card.frame.bolts}
          meter={step && !setting ? { ...step.spot, direction: step.direction } : null}
          onPoint={setting ? undefined : (/** @type {any} */ at) => put(goTo(readings, nearest(readings, at)))}
        />
        {short && reading}
      </div>
      {setting && <Setup values={values} onChange={change} correcting={correcting} code={code} />}
    </Page>
  );
}

export const CheckView = withFrame(CheckForm);
