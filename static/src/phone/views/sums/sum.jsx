/** Sums of the screen room: a list of them, and one of them with its answer as it is typed. */
import { useState } from "preact/hooks";

import { t } from "../../../shared/language.js";
import { useApp } from "../../ui/app.js";
import { Choice } from "../../ui/choice.jsx";
import { NumberField } from "../../ui/fields.jsx";
import { useFrame } from "../../ui/forms.js";
import { Page } from "../../ui/page.jsx";
import { SUMS } from "./specs.js";
import { fieldsOf, groundOf, startOf, work } from "./working.js";

/** @param {{code: string | null}} props */
function List({ code }) {
  const { router } = useApp();
  const shown = Object.entries(SUMS).filter(([, sum]) => code || !sum.frame);
  return (
    <Page title={code ?? t`Sums`} sub={code ? t`Sums` : ""} name="sums">
      <ul class="rows">
        {shown.map(([name, { title, about }]) => (
          <li key={name}>
            <button type="button" class="row sum-row" onClick={() => router.go("sums", { code, arg: name })}>
              <b>{title}</b>
              <span class="row-more">{about}</span>
            </button>
          </li>
        ))}
      </ul>
    </Page>
  );
}

/** @param {{answer: ReturnType<typeof work>}} props */
function Answer({ answer }) {
  if (!answer.complete) return <p class="hint" role="status">{t`Fill in what is asked: the answer shows here.`}</p>;
  if (answer.trouble) return <p class="problem" role="status">{answer.trouble}</p>;
  return (
    <section class="sum-answer" role="status">
      {answer.said && <p class="sum-said">{answer.said}</p>}
      <dl>
        {answer.lines.map(({ label, text }) => (
          <div key={label}>
            <dt>{label}</dt>
            <dd>{text}</dd>
          </div>
        ))}
      </dl>
    </section>
  );
}

/** @param {any} props */
function One({ sum, code, ground }) {
  const { things } = useApp();
  const { shop } = things;
  const [values, setValues] = useState(() => startOf(sum, ground, shop));
  const [touched, setTouched] = useState(/** @type {Record<string, boolean>} */ ({}));
  const answer = work(sum, values, ground, shop);

  function put(/** @type {string} */ name, /** @type {any} */ value) {
    setValues({ ...values, [name]: value });
    setTouched({ ...touched, [name]: true });
  }

  return (
    <Page title={sum.title} sub={code ?? ""} name="sums" pad={<Answer answer={answer} />}>
      {fieldsOf(sum, values, shop).map((/** @type {any} */ field) => (field.type === "choice"
        ? <Choice key={field.name} columns={3} {...field} value={values[field.name]} onChange={(value) => put(field.name, value)} />
        : <NumberField key={field.name} {...field} value={values[field.name]} problem={touched[field.name] ? answer.problems[field.name] : undefined} onChange={(value) => put(field.name, value)} />
      ))}
      <section class="sum-basis">
        <h2>{t`How it is worked out`}</h2>
        <ul>{sum.formula.map((/** @type {string} */ line) => <li key={line}>{line}</li>)}</ul>
        <p>{sum.limits}</p>
        <p><b>{t`Source:`}</b> {sum.source}</p>
      </section>
    </Page>
  );
}

/** @param {{code: string | null, arg: string | null}} props */
export function SumsView({ code, arg }) {
  const { things } = useApp();
  const card = useFrame(code);
  const sum = arg ? SUMS[arg] : null;
  if (!sum) return <List code={code} />;
  if (code && card === undefined) return <Page title={sum.title}>{null}</Page>;
  return <One key={arg} sum={sum} code={code} ground={groundOf(card, things)} />;
}
