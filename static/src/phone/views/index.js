/** Every view by its name in the address. */
import { CardView } from "./card/card.jsx";
import { MoreView } from "./card/more.jsx";
import { CheckView } from "./check/check.jsx";
import { FormView } from "./forms/form.jsx";
import { HomeView } from "./home.jsx";
import { later } from "./later.jsx";
import { OutboxView } from "./outbox.jsx";
import { PickView } from "./pick.jsx";
import { ScanView } from "./scan.jsx";
import { TurnsView } from "./turns/turns.jsx";
import { TweakView } from "./turns/tweak.jsx";
import { TypeView } from "./type.jsx";

/** @type {Record<string, (props: {code: string | null, arg: string | null}) => any>} */
export const VIEWS = {
  home: HomeView,
  scan: ScanView,
  type: TypeView,
  pick: PickView,
  context: later("context"),
  outbox: OutboxView,
  enrol: later("enrol"),
  many: later("many"),
  shift: later("shift"),
  stretch: later("stretch"),
  sums: later("sums"),
  phone: later("phone"),
  card: CardView,
  more: MoreView,
  history: later("history"),
  entry: later("entry"),
  fix: later("fix"),
  check: CheckView,
  tweak: TweakView,
  turns: TurnsView,
  form: FormView,
  plan: later("plan"),
  register: later("register"),
};
