/** What is known about single bolts, and about the meter. */
import { decimal, t } from "../../../shared/language.js";
import { BOLT_IS, BOLT_STATE } from "../../../shared/words.js";
import { NOTE_FIELD, named } from "./parts.js";

/** @type {import("./specs.js").Field} */
const OFF_ZERO = { name: "zero", type: "number", label: t`Before it was set to 0`, unit: "N/cm", signed: true, least: -50, most: 50 };

/** @type {Record<string, import("./specs.js").Spec>} */
export const BOLT_FORMS = {
  bolt_state: {
    title: t`Seized, broken, freed`,
    caution: () => ["turning"],
    start: () => ({ bolt: null, state: "seized" }),
    fields: () => [
      { name: "bolt", type: "bolt", label: t`Which bolt?` },
      { name: "state", type: "choice", label: t`It is`, columns: 3, options: BOLT_STATE },
    ],
    payload: ({ bolt, state }) => ({ bolt, state }),
    said: ({ bolt, state }) => `${bolt} ${BOLT_IS[state]}`,
  },
  stand_out: {
    title: t`Bolt stand-out`,
    start: () => ({ bolts: {} }),
    fields: () => [
      { name: "bolts", type: "bolts_mm", label: t`How far each bolt stands out`, unit: "mm", least: -20, most: 100, hint: t`Tap a bolt, then type mm.` },
    ],
    payload: ({ bolts }) => ({ bolts: Object.entries(bolts).map(([bolt, stand_out_mm]) => ({ bolt, stand_out_mm })) }),
    values: ({ bolts }) => ({ bolts: Object.fromEntries(bolts.map((/** @type {any} */ one) => [one.bolt, decimal(one.stand_out_mm)])) }),
  },
  meter_zeroed: {
    title: t`Meter zeroed`,
    start: ({ context, things }) => ({ meter: context.meter ?? things.list("meter")[0]?.id ?? null, seen: null, zero: "", note: "" }),
    fields: (values, { things }) => [
      { name: "meter", type: "choice", label: t`Meter`, options: named(things.list("meter")), empty: t`No meter yet. The office adds meters.` },
      { name: "seen", type: "choice", label: t`On its glass it showed`, options: { nought: "0", other: t`Something else` } },
      ...(values.seen === "other" ? [OFF_ZERO] : []),
      NOTE_FIELD,
    ],
    payload: ({ seen, zero, note }) => ({ zero_n_per_cm: seen === "nought" ? 0 : zero, note: note.trim() }),
    values: ({ zero_n_per_cm, note }) => ({ seen: zero_n_per_cm === 0 ? "nought" : "other", zero: decimal(zero_n_per_cm), note: note ?? "" }),
    subject: ({ meter }) => ({ kind: "meter", id: meter }),
  },
};
