/** One view for every plain form: fields from its spec, problems beside them, one Save. */
import { useState } from "preact/hooks";

import { decimal, low, t } from "../../../shared/language.js";
import { useApp } from "../../ui/app.js";
import { Caution } from "../../ui/caution.jsx";
import { useSubmit } from "../../ui/forms.js";
import { Action, Page } from "../../ui/page.jsx";
import { RegisterTurns } from "../card/register.jsx";
import { withFrame } from "../gate.jsx";
import { BurstHelp } from "./burst_help.jsx";
import { FieldOf } from "./field_of.jsx";
import { problemsOf, readValues } from "./reading.js";
import { SPECS } from "./specs.js";

/** A saved payload as values of its form; most forms use the log's own names. */
const fromPayload = (/** @type {import("./specs.js").Spec} */ spec, /** @type {any} */ payload) =>
  (spec.values ? spec.values(payload) : Object.fromEntries(Object.entries(payload).map(([name, value]) => [name, typeof value === "number" ? decimal(value) : value])));

/** @param {{card: any, code: string | null, kind: string, about?: string | null, correcting?: any}} props */
export function EntryForm({ card, code, kind, about = null, correcting = null }) {
  const app = useApp();
  const spec = SPECS[kind];
  const ground = { card, things: app.things, context: app.context, about: correcting?.payload.tweak ?? about };
  const [values, setValues] = useState(() => (correcting ? { ...spec.start(ground), ...fromPayload(spec, correcting.payload) } : spec.start(ground)));
  const [problems, setProblems] = useState(/** @type {Record<string, string>} */ ({}));
  const submit = useSubmit(kind, card, correcting);
  const fields = spec.fields(values, ground);

  function put(/** @type {any} */ field, /** @type {any} */ value) {
    setValues({ ...values, ...(field.sets?.(value) ?? {}), [field.name]: value });
    setProblems({ ...problems, [field.name]: "" });
  }

  function save() {
    const found = problemsOf(fields, values);
    setProblems(found);
    if (Object.keys(found).length > 0) return;
    const read = readValues(fields, values);
    const payload = spec.payload(read, ground);
    const what = spec.said?.(payload) ?? spec.title;
    submit(payload, { text: `${code ? `${code}: ` : ""}${what}.` }, { subject: spec.subject?.(read) });
  }

  return (
    <Page
      title={code ?? spec.title} sub={correcting ? t`Put right: ${low(spec.title)}` : code ? spec.title : ""} name="form"
      foot={<Action go wide onClick={save}>{t`Save`}</Action>}
    >
      <Caution of={spec.caution?.(ground, values) ?? []} />
      {fields.map((field) => (
        <FieldOf key={field.name} field={field} value={values[field.name]} problem={problems[field.name]} card={card} onChange={(value) => put(field, value)} />
      ))}
      {kind === "burst" && <BurstHelp card={card} />}
      {kind === "reclaimed" && card && <RegisterTurns card={card} code={code} />}
    </Page>
  );
}

/** @param {any} props */
function Form({ card, code, arg }) {
  const [kind, about] = (arg ?? "").split(":");
  if (!SPECS[kind]) return <Page title={code}><p>{t`There is no such form.`}</p></Page>;
  return <EntryForm card={card} code={code} kind={kind} about={about ?? null} />;
}

export const FormView = withFrame(Form);
