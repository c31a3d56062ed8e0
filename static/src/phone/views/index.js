/** Every view by its name in the address. */
import { CardView } from "./card/card.jsx";
import { HistoryView } from "./card/history.jsx";
import { MoreView } from "./card/more.jsx";
import { CheckView } from "./check/check.jsx";
import { ContextView } from "./context.jsx";
import { EnrolView } from "./enrol.jsx";
import { EntryView } from "./entry.jsx";
import { FixView } from "./fix.jsx";
import { FormView } from "./forms/form.jsx";
import { HomeView } from "./home.jsx";
import { OutboxView } from "./outbox.jsx";
import { PickView } from "./pick.jsx";
import { ScanView } from "./scan.jsx";
import { ManyView } from "./many.jsx";
import { ShiftView } from "./shift.jsx";
import { TurnsView } from "./turns/turns.jsx";
import { TweakView } from "./turns/tweak.jsx";
import { TypeView } from "./type.jsx";

/** @type {Record<string, (props: {code: string | null, arg: string | null}) => any>} */
export const VIEWS = {
  home: HomeView,
  scan: ScanView,
  type: TypeView,
  pick: PickView,
  context: ContextView,
  outbox: OutboxView,
  enrol: EnrolView,
  many: ManyView,
  shift: ShiftView,
  card: CardView,
  more: MoreView,
  history: HistoryView,
  entry: EntryView,
  fix: FixView,
  check: CheckView,
  tweak: TweakView,
  turns: TurnsView,
  form: FormView,
};
