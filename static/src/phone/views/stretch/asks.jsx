/** What a step asks for, beside what it shows: a few figures and choices. */
import { rich, t } from "../../../shared/language.js";
import { distanceText, distanceUnit, meshText, tensionText } from "../../../shared/units.js";
import { CONDITION, WARP } from "../../../shared/words.js";
import { useApp, useNow } from "../../ui/app.js";
import { Choice } from "../../ui/choice.jsx";
import { NumberField, TextField } from "../../ui/fields.jsx";
import { LockPicture } from "./pictures.jsx";
import { pieceOf, rodsFor } from "./rules.js";

const MINUTE_MS = 60_000;

/** @param {any} props */
function Rocks({ values, put, rules, problem }) {
  const unit = useApp().things.shop.length_unit;
  return (
    <NumberField
      label={t`It rocks by`} unit={distanceUnit(unit)} value={values.rock} problem={problem} onChange={(rock) => put({ rock })}
      hint={t`More than ${distanceText(rules.rock_limit_mm, unit)}: not fit for use.`}
    />
  );
}

/** @param {any} props */
function MeshAndRods({ card, values, put, rules }) {
  const { things } = useApp();
  const pick = (/** @type {string} */ mesh) => put({ mesh, rods: rodsFor(things.get("mesh", mesh), card.thing, rules) });
  const options = things.list("mesh").map((/** @type {any} */ mesh) => ({ value: mesh.id, text: mesh.name, sub: meshText(mesh, things.shop.count_unit) }));
  return (
    <>
      <LockPicture lock={card.thing.lock} />
      <Choice label={t`Mesh`} options={options} value={values.mesh} onChange={pick} />
      <TextField label={card.thing.lock === "wedge_strip" ? t`Strip` : t`Rods`} value={values.rods} onChange={(rods) => put({ rods })} />
    </>
  );
}

/** @param {any} props */
function Piece({ card, values, put, rules }) {
  const { things } = useApp();
  const { a, b } = pieceOf(card.thing, rules);
  const unit = things.shop.length_unit;
  return (
    <>
      <p class="st-figure">{rich`${<b>{distanceText(a, unit)}</b>} along A`}<br />{rich`${<b>{distanceText(b, unit)}</b>} along B`}</p>
      <Choice label={t`Warp runs`} columns={3} options={WARP} value={values.warp} onChange={(warp) => put({ warp })} />
    </>
  );
}

/** How even it is by now. @param {any} props */
function Evenness({ card }) {
  const { screen, condition } = card;
  const check = screen?.checks.bare;
  if (!check) return <p class="lead">{t`Not read yet.`}</p>;
  return (
    <p class="lead">
      <b>{t`${tensionText(check.low)} to ${tensionText(check.high)} N/cm`}</b>, {t`wanted ${tensionText(screen.target_n_per_cm)} ± ${tensionText(screen.tolerance_n_per_cm)}`}: {CONDITION[condition.word]}.
    </p>
  );
}

/** How long it has lain since a bolt was turned. @param {any} props */
function Resting({ since, rules }) {
  const now = useNow(5_000);
  if (!since) return null;
  const minutes = Math.max(0, Math.floor((now - since) / MINUTE_MS));
  const left = rules.rest_minutes - minutes;
  return <p class="lead" role="timer">{rich`${<b>{minutes} min</b>} since the last turn.`} {left > 0 ? t`${left} min to go.` : t`Long enough.`}</p>;
}

/** @param {any} props */
export function Ask({ step, ...props }) {
  const of = { inspected: Rocks, lock: MeshAndRods, piece: Piece, even: Evenness, rested: Resting }[/** @type {string} */ (step.name)];
  const Body = /** @type {any} */ (of);
  return Body ? <Body {...props} /> : null;
}
