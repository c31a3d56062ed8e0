/** A colour out of register: is it real, and then the press, the bolts, or neither. */
import { decimal, t } from "../../../shared/language.js";
import { readNumber } from "../../../shared/units.js";
import { newDraft } from "../../entries/index.js";
import { useApp } from "../../ui/app.js";
import { useKept } from "../../ui/forms.js";
import { hiddenHere, jobInHand, jobText } from "../../ui/in_hand.js";
import { Action, Page } from "../../ui/page.jsx";
import { WrongJob } from "../card/register.jsx";
import { withFrame } from "../gate.jsx";
import { NoMesh } from "../no_mesh.jsx";
import { Nipping } from "../plan/nipping.jsx";
import { stampNow } from "../plan/plan.jsx";
import { begin, entriesOf } from "../plan/round.js";
import { Turning } from "../plan/turning.jsx";
import { useAdvice } from "../plan/use_advice.js";
import { Answer, PressSteps } from "./answer.jsx";
import { Marking } from "./marking.jsx";
import { keyMarks, meansOf, pullsOf } from "./marks.js";
import { SinceOkSheet } from "./since.jsx";

const TOLERANCE_MM = 0.1;
const AFTER = t`Tools out, guards on, people clear.`;

const fresh = (/** @type {any} */ context) => ({
  page: "register",
  view: { face: context.face, near: context.near },
  stage: "asked",
  pulls: 3,
  marks: /** @type {any[]} */ ([]),
  growth: { right: "", away: "" },
  eye: "loupe",
  tolerance: decimal(TOLERANCE_MM),
  wanted: /** @type {number | null} */ (null),
  answer: /** @type {any} */ (null),
  round: /** @type {any} */ (null),
  began: "",
  ids: { turns: "", nipped: "" },
});

/** @param {any} props */
function Asked({ card, code, sub, onPulls }) {
  return (
    <Page
      title={code} sub={sub} name="register"
      foot={<><Action onClick={() => onPulls(1)}>{t`Only one pull`}</Action><Action go onClick={() => onPulls(3)}>{t`Yes, three`}</Action></>}
    >
      <WrongJob card={card} />
      <h2 class="answer-head">{t`Pulled three? Lays and clamps fast?`}</h2>
      <p class="answer-why">{t`Three pulls tell an error from scatter. Loose lays, clamps or feed look like a bad screen.`}</p>
      <SinceOkSheet card={card} />
    </Page>
  );
}

/** What the marks and the rest of the page ask of the advice. @param {any} values @param {any} job */
function askOf(values, job) {
  const { view, marks, growth, eye, tolerance, wanted } = values;
  const told = { right: readNumber(growth.right) ?? 0, away: readNumber(growth.away) ?? 0 };
  const tolerance_mm = job?.tolerance_mm ?? readNumber(tolerance) ?? TOLERANCE_MM;
  const more = { pulls: pullsOf(view, marks), key_marks: keyMarks(view, marks, told), tolerance_mm, eye, bolts_wanted: wanted };
  return { question: /** @type {const} */ ("registerPlan"), view, options: { purpose: "register" }, more };
}

/** @param {any} props */
function Answered(props) {
  const { card, values, job } = props;
  const { answer, trouble } = useAdvice(card, askOf(values, job));
  return <Answer {...props} answer={answer} trouble={trouble} onStart={() => props.onStart(answer)} />;
}

/** What is written down of it: the turns, and the marks they were for. @param {any} place @param {any} values */
const tweakOf = ({ job, colour, press, station }, { view, marks }) => ({
  ...view, bolts: [], seen: "skipped", cause: null, marks: meansOf(view, marks), off_contact_mm: null, job, colour, press, station,
});

/** How a finished answer is saved. @param {any} card @param {string} code @param {any} kept */
function useSaving(card, code, kept) {
  const { context, things, save, scanned } = useApp();
  const place = { ...context, ...jobInHand(card.screen, context, things) };
  const by = { operator: context.operator, scanned: scanned && scanned.code === card.thing.code ? scanned.text : null };
  return {
    /** The press took it: no bolt was turned. */
    press() {
      const { draft, values } = kept;
      const entry = newDraft({ ...by, id: draft.id, kind: "register_tweak", frame: draft.frame, screen: draft.screen, payload: tweakOf(place, values) });
      return save(entry, { text: t`Register of ${code}: press adjusted. Pull three.`, caution: AFTER });
    },
    bolts() {
      const { draft, values } = kept;
      const { answer, began, ids, round } = values;
      const drafts = entriesOf({ draft, plan: answer.payload, began, ids, round, turned: { kind: "register_tweak", payload: tweakOf(place, values) }, by });
      return save(drafts, { text: t`Register of ${code}: saved. Pull three.`, caution: AFTER });
    },
  };
}

/** @param {{card: any, code: string}} props */
function Register({ card, code }) {
  const app = useApp();
  const { context, things, remember, router } = app;
  const kept = useKept("turn_plan", card, () => fresh(context), null, (values) => values.page === "register");
  const saving = useSaving(card, code, kept);
  if (!card.screen || card.screen.ended) return <NoMesh card={card} code={code} />;
  if (!kept) return <Page title={code}><p class="hint">{t`Opening…`}</p></Page>;
  const { values } = kept;
  const put = (/** @type {any} */ news) => {
    if (news.view) remember(news.view);
    kept.set({ ...values, ...news });
  };
  const serves = jobInHand(card.screen, context, things);
  const sub = jobText(serves, things) || t`Register`;
  const job = things.get("job", serves.job);
  const hidden = hiddenHere(card, values.view, app, context.press);
  const start = (/** @type {any} */ answer) => put({
    stage: "turning", answer, round: begin(answer.bolts), began: stampNow(), ids: { turns: newDraft({ kind: "register_tweak" }).id, nipped: newDraft({ kind: "nipped_up" }).id },
  });

  if (values.stage === "asked") return <Asked card={card} code={code} sub={sub} onPulls={(/** @type {number} */ pulls) => put({ pulls, stage: "marks" })} />;
  if (values.stage === "answer") {
    return (
      <Answered
        card={card} code={code} sub={sub} values={values} job={job} hidden={hidden}
        onStart={start} onPressed={saving.press} onAgain={() => put({ stage: "marks", wanted: null })} onWanted={(/** @type {number} */ wanted) => put({ wanted })} onClose={() => { kept.restart(); router.back(); }}
      />
    );
  }
  const shared = { card, code, view: values.view, round: values.round, press: context.press, onChange: (/** @type {any} */ round) => put({ round }), onTick: (/** @type {any} */ round) => kept.sure({ ...values, round }) };
  if (values.stage === "turning") return <Turning {...shared} onEnd={() => put({ stage: "nip" })} onDrop={kept.restart}><PressSteps steps={values.answer.press?.steps ?? []} /></Turning>;
  if (values.stage === "nip") return <Nipping {...shared} loose={values.answer.loose} hidden={hidden} onBack={() => put({ stage: "turning" })} onSave={saving.bolts} />;
  const ready = values.marks.length > 0;
  return (
    <Page
      title={code} sub={sub} name="register"
      foot={<><Action onClick={kept.restart}>{t`Start over`}</Action><Action go={ready} disabled={!ready} onClick={() => put({ stage: "answer" })}>{t`What to do?`}</Action></>}
    >
      <WrongJob card={card} />
      <Marking card={card} values={values} put={put} job={job} />
    </Page>
  );
}

export const RegisterView = withFrame(Register);
