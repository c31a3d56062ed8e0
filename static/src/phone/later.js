/** Views that are opened less often, in a bundle of their own. */
import { HistoryView } from "./views/card/history.jsx";
import { ContextView } from "./views/context.jsx";
import { EntryView } from "./views/entry.jsx";
import { EnrolView } from "./views/enrol.jsx";
import { FixView } from "./views/fix.jsx";
import { ManyView } from "./views/many.jsx";
import { Outcome } from "./views/plan/outcome.jsx";
import { PlanView } from "./views/plan/plan.jsx";
import { RegisterView } from "./views/register/register.jsx";
import { ShiftView } from "./views/shift.jsx";
import { StretchView } from "./views/stretch/stretch.jsx";
import { SumsView } from "./views/sums/sum.jsx";
import { ThisPhoneView } from "./views/this_phone.jsx";

/** @type {any} */ (globalThis).tautbookLater = {
  context: ContextView,
  enrol: EnrolView,
  entry: EntryView,
  fix: FixView,
  history: HistoryView,
  many: ManyView,
  outcome: Outcome,
  plan: PlanView,
  register: RegisterView,
  shift: ShiftView,
  stretch: StretchView,
  sums: SumsView,
  phone: ThisPhoneView,
};
