/** How a check is taken: shown as told before, changed by a tap. */
import { lieText } from "../../../shared/drawing/frame.jsx";
import { n, t } from "../../../shared/language.js";
import { SPOTS, STENCIL } from "../../../shared/words.js";
import { useApp, useLoaded } from "../../ui/app.js";
import { Choice } from "../../ui/choice.jsx";
import { Lie } from "../../ui/drawing.jsx";

const MESH = { bare: t`Bare`, coated: t`Coated` };
const SHIFT_MS = 8 * 3_600_000;

/** "Five spots · bare · Meter 2 · Squeegee side up, A near you" @param {any} values @param {import("../../ui/things.js").Things} things */
export function setupText(values, things) {
  const set = SPOTS[/** @type {keyof typeof SPOTS} */ (values.set)] ?? n(values.readings.spots.length)`One spot|# spots`;
  return [set, /** @type {any} */ (STENCIL)[values.stencil], things.name("meter", values.meter) || t`which meter?`, lieText(values.view)].join(" · ");
}

/** When a meter was last zeroed, by what the server and this phone's outbox know. @param {string | null} meter */
export function useZeroed(meter) {
  const { store } = useApp();
  return useLoaded(async () => {
    const [states, outbox] = await Promise.all([store.states("meter"), store.outbox()]);
    const own = outbox.filter((/** @type {any} */ line) => line.entry.kind === "meter_zeroed" && line.entry.subject?.id === meter);
    const times = [states.find((/** @type {any} */ state) => state.meter === meter)?.zeroed_at, ...own.map((/** @type {any} */ line) => line.entry.occurred_at)];
    return Math.max(0, ...times.filter(Boolean).map(Date.parse));
  }, [meter]);
}

/** @param {any} props */
function Zero({ meter, code }) {
  const { router, things } = useApp();
  const zeroed = useZeroed(meter);
  if (!meter || zeroed === undefined) return null;
  const due = Date.now() - zeroed > SHIFT_MS;
  return (
    <div class="line">
      <span>{due ? t`Zero ${things.name("meter", meter)} on its glass once a shift.` : t`Zeroed this shift.`}</span>
      {due && <button type="button" class="small" onClick={() => router.go("form", { code, arg: "meter_zeroed" })}>{t`Zeroed`}</button>}
    </div>
  );
}

/** @param {any} props */
export function Setup({ values, onChange, correcting, code }) {
  const { things } = useApp();
  const meters = things.list("meter").map((meter) => ({ value: meter.id, text: meter.name }));
  return (
    <div class="setup">
      <Lie view={values.view} open onChange={(/** @type {any} */ view) => onChange({ view })} />
      {!correcting && <Choice label={t`Spots`} columns={3} options={SPOTS} value={values.set} onChange={(set) => onChange({ set })} />}
      <Choice label={t`Mesh`} options={MESH} value={values.stencil} onChange={(stencil) => onChange({ stencil })} />
      <Choice label={t`Meter`} optional options={meters} value={values.meter} onChange={(meter) => onChange({ meter })} />
      {!correcting && <Zero meter={values.meter} code={code} />}
    </div>
  );
}
