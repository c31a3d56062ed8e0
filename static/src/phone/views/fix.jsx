/** A saved entry opened in the form it was made in; saving writes a correction. */
import { t } from "../../shared/language.js";
import { Page } from "../ui/page.jsx";
import { CheckForm } from "./check/check.jsx";
import { EntryForm } from "./forms/form.jsx";
import { SPECS } from "./forms/specs.js";
import { withFrame } from "./gate.jsx";
import { TurnsForm } from "./turns/turns.jsx";
import { TweakForm } from "./turns/tweak.jsx";

/** @type {Record<string, (props: any) => any>} */
const OWN = { tension_check: CheckForm, register_tweak: TweakForm, bolt_turns: TurnsForm, nipped_up: TurnsForm };

/** @param {any} props */
function Fix({ card, code, arg }) {
  const entry = card.entries.find((/** @type {any} */ one) => one.id === arg);
  if (!entry) return <Page title={code}><p>{t`This entry is not on this phone.`}</p></Page>;
  const Form = OWN[entry.kind];
  if (Form) return <Form card={card} code={code} arg={null} correcting={entry} />;
  if (SPECS[entry.kind]) return <EntryForm card={card} code={code} kind={entry.kind} correcting={entry} />;
  return <Page title={code}><p>{t`This app cannot change this kind of entry. Undo it, and enter it anew.`}</p></Page>;
}

export const FixView = withFrame(Fix);
