/** Bolts turned off press: stretch, retension, for register, even up, or nipped up. */
import { n, t } from "../../../shared/language.js";
import { turnText } from "../../../shared/turns.js";
import { PURPOSE } from "../../../shared/words.js";
import { useApp } from "../../ui/app.js";
import { TurningCaution } from "../../ui/caution.jsx";
import { Choice } from "../../ui/choice.jsx";
import { useKept, useSubmit } from "../../ui/forms.js";
import { Action, Page } from "../../ui/page.jsx";
import { turnsText } from "../../ui/sentences.js";
import { withFrame } from "../gate.jsx";
import { Turner } from "./turner.jsx";
import { boltList, noTurns, turned, turnsFrom } from "./turning.js";

const NIPPED = "nipped_up";
const HALF = 24;
const WHOLE = 48;

const fresh = (/** @type {any} */ context, /** @type {string | null} */ purpose, /** @type {any} */ screen) => ({
  view: { face: context.face, near: context.near },
  purpose: purpose ?? (screen?.last_check ? "retension" : "stretch"),
  turning: noTurns(),
  size: null,
});

const saved = (/** @type {any} */ { kind, payload }, /** @type {any} */ context) => ({
  view: { face: payload.face ?? context.face, near: payload.near ?? context.near },
  purpose: kind === "nipped_up" ? NIPPED : payload.purpose,
  turning: turnsFrom(payload.bolts),
  size: null,
});

/** Even up: the turns that register work left, with a way to put all of them back at once. @param {any} props */
function StillIn({ card, turning, onChange }) {
  const still = card.screen?.register_turns ?? {};
  const left = Object.fromEntries(Object.entries(still).map(([bolt, turn]) => [bolt, turn + (turning.turns[bolt] ?? 0)]).filter(([, turn]) => turn !== 0));
  if (Object.keys(still).length === 0) return <p class="hint">{t`No turns are in for register.`}</p>;
  const all = () => onChange(Object.entries(left).reduce((now, [bolt, turn]) => turned(now, [bolt], -turn), turning));
  return (
    <div class="line">
      <span>{Object.keys(left).length ? t`Still in: ${turnsText(left, card.thing.step_48ths)}` : t`All put back.`}</span>
      {Object.keys(left).length > 0 && <button type="button" class="small" onClick={all}>{t`Put all back`}</button>}
    </div>
  );
}

/** @param {{card: any, code: string, arg?: string | null, correcting?: any}} props */
export function TurnsForm({ card, code, arg = null, correcting = null }) {
  const { context, remember } = useApp();
  const kind = (correcting?.kind ?? (arg === NIPPED ? NIPPED : "bolt_turns"));
  const initial = () => (correcting ? saved(correcting, context) : fresh(context, arg, card.screen));
  const kept = useKept(kind, card, initial, correcting, (values) => !arg || values.purpose === arg);
  const submit = useSubmit(kind, card, correcting);
  if (!kept) return null;
  const { values } = kept;
  const put = (/** @type {any} */ news) => kept.set({ ...values, ...news });
  const { screen, thing } = card;
  const bolts = boltList(values.turning);
  const step = thing.step_48ths;
  const sum = turnText(bolts.reduce((all, one) => all + one.turn_48ths, 0), step);

  function save() {
    remember(values.view);
    const payload = kind === NIPPED ? { bolts } : { purpose: values.purpose, ...values.view, bolts, plan: correcting?.payload.plan ?? null };
    const word = kind === NIPPED ? t`Nipped up` : PURPOSE[/** @type {keyof typeof PURPOSE} */ (values.purpose)];
    submit(payload, { text: `${word}: ${n(bolts.length)`# bolt of ${code}.|# bolts of ${code}.`}` }, { draft: kept?.draft });
  }

  return (
    <Page
      title={code} sub={correcting ? t`Put turns right` : kind === NIPPED ? t`Nipped up` : t`Turn bolts`} name="turns"
      foot={<Action go wide disabled={bolts.length === 0} onClick={save}>{t`Save`}</Action>}
    >
      <TurningCaution card={card} />
      {kind === NIPPED ? (
        <p class="hint">{t`Only bolts that had gone loose, until they just bite.`}</p>
      ) : (
        <Choice label={t`For what?`} hideLabel options={PURPOSE} value={values.purpose} onChange={(purpose) => put({ purpose })} />
      )}
      {values.purpose === "even_up" && <StillIn card={card} turning={values.turning} onChange={(/** @type {any} */ turning) => put({ turning })} />}
      <Turner
        card={card} view={values.view} onView={(view) => { put({ view }); remember(view); }}
        turning={values.turning} onChange={(turning) => put({ turning })}
        sizes={[step, HALF, WHOLE]} size={values.size ?? step} onSize={(size) => put({ size })}
        sides={values.purpose === "stretch" || values.purpose === "retension"}
      />
      {bolts.length > 0 && <p class="hint">{n(bolts.length)`# bolt, ${sum} in all.|# bolts, ${sum} in all.`}</p>}
    </Page>
  );
}

export const TurnsView = withFrame(TurnsForm);
