/** Register marks: tap where the mark is, the way it printed, and how far. */
import { useState } from "preact/hooks";

import { frameVector, seenPoint, seenVector } from "../../../shared/drawing/lie.js";
import { spotName } from "../../../shared/drawing/spots.js";
import { decimal, t } from "../../../shared/language.js";
import { WAYS } from "../../../shared/words.js";
import { Drawing } from "../../ui/drawing.jsx";

const STEP_MM = 0.05;
const FIRST_MM = 0.1;
const MOST = 4;

const tidy = (/** @type {number} */ mm) => Math.round(mm * 1000) / 1000;

/**
 * @typedef {import("../../../shared/types.js").View} View
 * @typedef {import("../../../shared/types.js").Mark} Mark
 */

/** How far a mark printed off, and which way as seen. @param {View} view @param {Mark} mark */
function seen(view, mark) {
  const [right, away] = seenVector(view, mark.dx_mm, mark.dy_mm);
  return { mm: tidy(Math.hypot(right, away)), right, away };
}

/** A mark moved to print this way, so far. @param {View} view @param {Mark} mark @param {{right: number, away: number}} way @param {number} mm @returns {Mark} */
function printed(view, mark, way, mm) {
  const size = Math.hypot(way.right, way.away) || 1;
  const [dx, dy] = frameVector(view, (way.right / size) * mm, (way.away / size) * mm);
  return { ...mark, dx_mm: tidy(dx), dy_mm: tidy(dy) };
}

/** Eight arrows round "on it", as the reader sees the frame. @param {any} props */
function Ways({ view, mark, onChange }) {
  const now = seen(view, mark);
  const mm = now.mm || FIRST_MM;
  const chosen = (/** @type {any} */ way) => now.mm > 0 && Math.sign(Math.round(now.right * 1000)) === way.right && Math.sign(Math.round(now.away * 1000)) === way.away;
  const arrow = (/** @type {any} */ way) => (
    <button key={way.name} type="button" class="option" aria-label={t`printed ${way.name}`} aria-pressed={chosen(way)} onClick={() => onChange(printed(view, mark, way, mm))}>{way.sign}</button>
  );
  return (
    <div class="ways" role="group" aria-label={t`Which way did it print?`}>
      {WAYS.slice(0, 4).map(arrow)}
      <button type="button" class="option" aria-pressed={now.mm === 0} onClick={() => onChange({ ...mark, dx_mm: 0, dy_mm: 0 })}>{t`on it`}</button>
      {WAYS.slice(4).map(arrow)}
    </div>
  );
}

/** @param {any} props */
function Distance({ view, mark, onChange }) {
  const { mm, right, away } = seen(view, mark);
  const by = (/** @type {number} */ step) => () => onChange(printed(view, mark, { right, away }, Math.max(STEP_MM, mm + step)));
  if (mm === 0) return null;
  return (
    <div class="stepper" role="group" aria-label={t`How far off`}>
      <button type="button" class="option" aria-label={t`less`} onClick={by(-STEP_MM)}>−</button>
      <output>{`${decimal(mm.toFixed(2))} mm`}</output>
      <button type="button" class="option" aria-label={t`more`} onClick={by(STEP_MM)}>+</button>
    </div>
  );
}

/** @param {{card: any, view: any, marks: any[], onChange: (marks: any[]) => void}} props */
export function MarksField({ card, view, marks, onChange }) {
  const [at, setAt] = useState(marks.length - 1);
  const mark = marks[at];
  const put = (/** @type {any} */ next) => onChange(marks.map((one, i) => (i === at ? next : one)));

  function point(/** @type {{u: number, v: number}} */ { u, v }) {
    const near = marks.findIndex((one) => Math.hypot(one.u - u, one.v - v) < 0.1);
    if (near >= 0) return setAt(near);
    if (marks.length >= MOST) return;
    onChange([...marks, { u: tidy(u), v: tidy(v), dx_mm: 0, dy_mm: 0 }]);
    setAt(marks.length);
  }

  return (
    <div class="marks">
      <p class="hint">{t`Tap where a mark is, then the way it printed.`} {marks.length > 0 && marks.length < MOST && t`Tap again for another.`}</p>
      <Drawing frame={card.thing} view={view} maxHeight={260} marks={marks} onPoint={point} />
      {mark && (
        <>
          <p class="marks-name"><b>{spotName(...seenPoint(view, mark.u, mark.v))}</b></p>
          <Ways view={view} mark={mark} onChange={put} />
          <Distance view={view} mark={mark} onChange={put} />
          <button type="button" class="plain" onClick={() => { onChange(marks.filter((_, i) => i !== at)); setAt(marks.length - 2); }}>{t`Take this mark away`}</button>
        </>
      )}
    </div>
  );
}
