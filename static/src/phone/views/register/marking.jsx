/** Tap a mark on the drawing, the way it printed, and how far on each pull. */
import { useState } from "preact/hooks";

import { seenPoint } from "../../../shared/drawing/lie.js";
import { spotName } from "../../../shared/drawing/spots.js";
import { decimal, rich, t } from "../../../shared/language.js";
import { readNumber } from "../../../shared/units.js";
import { WAYS } from "../../../shared/words.js";
import { Choice } from "../../ui/choice.jsx";
import { Drawing, Lie } from "../../ui/drawing.jsx";
import { NumberField } from "../../ui/fields.jsx";
import { MOST_MARKS, further, lainOtherwise, markAt, markNear, meansOf, setTo, towards } from "./marks.js";

const EYE = { loupe: t`Loupe`, naked: t`Naked eye` };

/** Height that arrows and pulls need below the drawing, so that no pull is out of sight. */
const BELOW = 634;
const room = () => Math.min(270, Math.max(190, window.innerHeight - BELOW));

/** Eight arrows round "on it". @param {any} props */
function Ways({ mark, onChange }) {
  const arrow = (/** @type {any} */ way) => (
    <button key={way.name} type="button" class="option" aria-label={t`printed ${way.name}`} aria-pressed={mark.right === way.right && mark.away === way.away} onClick={() => onChange(towards(mark, way))}>{way.sign}</button>
  );
  return (
    <div class="ways" role="group" aria-label={t`Which way did it print?`}>
      {WAYS.slice(0, 4).map(arrow)}
      <button type="button" class="option" aria-pressed={mark.right === 0 && mark.away === 0} onClick={() => onChange(towards(mark, { right: 0, away: 0 }))}>{t`on it`}</button>
      {WAYS.slice(4).map(arrow)}
    </div>
  );
}

/** Two keys for gloves, and a number that can be typed. @param {any} props */
function Distance({ name, mark, pull, onChange }) {
  const [typed, setTyped] = useState(/** @type {string | null} */ (null));
  const mm = mark.mm[pull];
  const by = (/** @type {1 | -1} */ step) => () => onChange(further(mark, pull, step));
  function type(/** @type {string} */ text) {
    setTyped(text);
    const far = readNumber(text);
    if (far !== null) onChange(setTo(mark, pull, far));
  }
  return (
    <div class="stepper of-pull" role="group" aria-label={name}>
      <span class="soft">{name}</span>
      <button type="button" class="option" aria-label={t`${name}: less`} onClick={by(-1)}>−</button>
      <input
        type="text" inputMode="text" autocomplete="off" aria-label={`${name}, mm`} value={typed ?? `${mm < 0 ? "−" : ""}${decimal(Math.abs(mm).toFixed(2))}`}
        onInput={(event) => type(event.currentTarget.value)} onFocus={(event) => event.currentTarget.select()} onBlur={() => setTyped(null)}
      />
      <button type="button" class="option" aria-label={t`${name}: more`} onClick={by(1)}>+</button>
    </div>
  );
}

/** How far on each pull, mm; below nought it printed the other way. @param {any} props */
function Distances({ mark, onChange }) {
  if (mark.right === 0 && mark.away === 0) return null;
  const name = (/** @type {number} */ pull) => (mark.mm.length > 1 ? t`Pull ${pull + 1}` : t`How far`);
  return (
    <>
      {mark.mm.map((/** @type {number} */ _, /** @type {number} */ pull) => <Distance key={pull} name={name(pull)} mark={mark} pull={pull} onChange={onChange} />)}
      {mark.mm.length > 1 && <p class="hint">{t`mm along the arrow; − the other way.`}</p>}
    </>
  );
}

/** The key colour's own length tells the sheet's growth from the mesh's. @param {any} props */
function KeyColour({ growth, onChange }) {
  const field = (/** @type {"right" | "away"} */ way, /** @type {string} */ label) => (
    <NumberField label={label} unit="mm" signed value={growth[way]} onChange={(text) => onChange({ ...growth, [way]: text })} />
  );
  return (
    <details class="extras" open={Boolean(growth.right || growth.away)}>
      <summary>{t`Key colour longer or shorter than its film?`}</summary>
      <p class="hint">{t`Measure the key colour between its own outer marks. + longer, − shorter. It tells the sheet from the mesh.`}</p>
      {field("right", t`Left to right`)}
      {field("away", t`Near to far`)}
    </details>
  );
}

/** @param {{card: any, values: any, put: (news: any) => void, job: any}} props */
export function Marking({ card, values, put, job }) {
  const { view, marks, pulls, growth, eye, tolerance } = values;
  const [at, setAt] = useState(marks.length - 1);
  const mark = marks[at];
  const change = (/** @type {any} */ next) => put({ marks: marks.map((/** @type {any} */ one, /** @type {number} */ i) => (i === at ? next : one)) });

  function point(/** @type {{u: number, v: number}} */ where) {
    const near = markNear(marks, where);
    if (near >= 0) return setAt(near);
    if (marks.length >= MOST_MARKS) return;
    put({ marks: [...marks, markAt(where, pulls)] });
    setAt(marks.length);
  }

  const more = marks.length === 0 ? t`Tap where a mark is, then the way it printed.` : marks.length < MOST_MARKS ? t`Tap the next mark: two to four.` : "";
  return (
    <div class="marks">
      <Lie view={view} onChange={(/** @type {any} */ next) => put({ view: next, marks: lainOtherwise(marks, view, next) })} />
      <Drawing frame={card.thing} view={view} maxHeight={room()} marks={meansOf(view, marks)} onPoint={point} />
      {more && <p class="hint">{more}</p>}
      {mark && (
        <section key={at} aria-label={t`This mark`}>
          <p class="marks-name">{rich`${<b>{spotName(...seenPoint(view, mark.u, mark.v))}</b>} printed`}</p>
          <Ways mark={mark} onChange={change} />
          <Distances mark={mark} onChange={change} />
          <button type="button" class="plain" onClick={() => { put({ marks: marks.filter((/** @type {any} */ _, /** @type {number} */ i) => i !== at) }); setAt(marks.length - 2); }}>{t`Take this mark away`}</button>
        </section>
      )}
      {marks.length > 1 && <KeyColour growth={growth} onChange={(/** @type {any} */ next) => put({ growth: next })} />}
      <Choice label={t`Looked with`} options={EYE} value={eye} onChange={(next) => put({ eye: next })} />
      {job
        ? <p class="hint">{t`Good within ${job.tolerance_mm} mm, by job ${job.number}.`}</p>
        : <NumberField label={t`Good within`} unit="mm" value={tolerance} onChange={(text) => put({ tolerance: text })} />}
    </div>
  );
}
