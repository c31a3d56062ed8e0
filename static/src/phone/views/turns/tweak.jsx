/** A tweak: bolts turned on press for register. Few taps; nothing that was told is asked again. */
import { decimal, n, t } from "../../../shared/language.js";
import { SEEN } from "../../../shared/words.js";
import { useApp } from "../../ui/app.js";
import { TurningCaution } from "../../ui/caution.jsx";
import { Choice } from "../../ui/choice.jsx";
import { NumberField } from "../../ui/fields.jsx";
import { useKept, useSubmit } from "../../ui/forms.js";
import { jobInHand, jobText } from "../../ui/in_hand.js";
import { Action, Page } from "../../ui/page.jsx";
import { readNumber } from "../../../shared/units.js";
import { WrongJob } from "../card/register.jsx";
import { withFrame } from "../gate.jsx";
import { MarksField } from "./marks_field.jsx";
import { Turner } from "./turner.jsx";
import { boltList, noTurns, turnsFrom } from "./turning.js";

const fresh = (/** @type {any} */ context) => ({
  view: { face: context.face, near: context.near },
  turning: noTurns(),
  seen: "skipped",
  marks: [],
  offContact: "",
});

const saved = (/** @type {any} */ { payload }) => ({
  view: { face: payload.face, near: payload.near },
  turning: turnsFrom(payload.bolts),
  seen: payload.seen,
  marks: payload.marks,
  offContact: payload.off_contact_mm === null || payload.off_contact_mm === undefined ? "" : decimal(payload.off_contact_mm),
});

/** Where and for what: where the phone is, and what the screen serves; or as the entry being put right has it. @param {any} screen @param {import("../../ui/app.js").App} app @param {any} correcting */
function where(screen, { context, things }, correcting) {
  const { job, colour, press, station } = correcting ? correcting.payload : { ...context, ...jobInHand(screen, context, things) };
  return { job: job ?? null, colour: colour ?? null, press: press ?? null, station: station ?? null };
}

/** @param {{card: any, code: string, arg?: string | null, correcting?: any}} props */
export function TweakForm({ card, code, correcting = null }) {
  const app = useApp();
  const { context, things, remember } = app;
  const kept = useKept("register_tweak", card, () => (correcting ? saved(correcting) : fresh(context)), correcting);
  const submit = useSubmit("register_tweak", card, correcting);
  if (!kept) return null;
  const { values } = kept;
  const put = (/** @type {any} */ news) => kept.set({ ...values, ...news });
  const place = where(card.screen, app, correcting);
  const bolts = boltList(values.turning);
  const offContact = values.offContact === "" ? null : readNumber(values.offContact);
  const wrongNumber = values.offContact !== "" && (offContact === null || offContact < 0 || offContact > 100);

  function save() {
    if (wrongNumber) return;
    remember(values.view);
    const payload = {
      ...values.view, bolts, seen: values.seen, cause: correcting?.payload.cause ?? null, marks: values.marks, off_contact_mm: offContact, ...place,
    };
    const text = n(bolts.length)`Tweak of ${code}, # bolt.|Tweak of ${code}, # bolts.`;
    submit(payload, { text, caution: t`Tools out, guards on, people clear.` }, { draft: kept?.draft });
  }

  return (
    <Page
      title={code} sub={correcting ? t`Put a tweak right` : jobText(place, things) || t`Tweak`} name="tweak"
      foot={<Action go wide disabled={bolts.length === 0 && values.marks.length === 0} onClick={save}>{t`Save`}</Action>}
    >
      {!correcting && <WrongJob card={card} />}
      <TurningCaution card={card} press={context.press} />
      <Turner
        card={card} press={context.press} view={values.view} onView={(view) => { put({ view }); remember(view); }}
        turning={values.turning} onChange={(turning) => put({ turning })}
      />
      <Choice label={t`What was seen?`} columns={4} options={SEEN} value={values.seen} onChange={(seen) => put({ seen })} />
      <details class="extras" open={values.marks.length > 0}>
        <summary>{t`Marks and off-contact`}</summary>
        <MarksField card={card} view={values.view} marks={values.marks} onChange={(marks) => put({ marks })} />
        <NumberField
          label={t`Off-contact`} unit="mm" value={values.offContact} onChange={(text) => put({ offContact: text })}
          problem={wrongNumber ? t`Give the off-contact in mm, from 0 to 100.` : undefined}
        />
      </details>
    </Page>
  );
}

export const TweakView = withFrame(TweakForm);
