/** What is known about single bolts, and about the meter. */
import { BOLT_STATE } from "../../../shared/words.js";
import { NOTE_FIELD, named } from "./parts.js";

/** @type {import("./specs.js").Field} */
const OFF_ZERO = { name: "zero", type: "number", label: "Before it was set to 0", unit: "N/cm", signed: true, least: -50, most: 50 };

/** @type {Record<string, import("./specs.js").Spec>} */
export const BOLT_FORMS = {
  bolt_state: {
    title: "Seized, broken, freed",
    caution: () => ["turning"],
    start: () => ({ bolt: null, state: "seized" }),
    fields: () => [
      { name: "bolt", type: "bolt", label: "Which bolt?" },
      { name: "state", type: "choice", label: "It is", columns: 3, options: BOLT_STATE },
    ],
    payload: ({ bolt, state }) => ({ bolt, state }),
    said: ({ bolt, state }) => `${bolt} ${state}`,
  },
  stand_out: {
    title: "Bolt stand-out",
    start: () => ({ bolts: {} }),
    fields: () => [
      { name: "bolts", type: "bolts_mm", label: "How far each bolt stands out", unit: "mm", least: -20, most: 100, hint: "Tap a bolt, then type mm." },
    ],
    payload: ({ bolts }) => ({ bolts: Object.entries(bolts).map(([bolt, stand_out_mm]) => ({ bolt, stand_out_mm })) }),
    values: ({ bolts }) => ({ bolts: Object.fromEntries(bolts.map((/** @type {any} */ one) => [one.bolt, String(one.stand_out_mm)])) }),
  },
  meter_zeroed: {
    title: "Meter zeroed",
    start: ({ context, things }) => ({ meter: context.meter ?? things.list("meter")[0]?.id ?? null, seen: null, zero: "", note: "" }),
    fields: (values, { things }) => [
      { name: "meter", type: "choice", label: "Meter", options: named(things.list("meter")), empty: "No meter yet. The office adds meters." },
      { name: "seen", type: "choice", label: "On its glass it showed", options: { nought: "0", other: "Something else" } },
      ...(values.seen === "other" ? [OFF_ZERO] : []),
      NOTE_FIELD,
    ],
    payload: ({ seen, zero, note }) => ({ zero_n_per_cm: seen === "nought" ? 0 : zero, note: note.trim() }),
    values: ({ zero_n_per_cm, note }) => ({ seen: zero_n_per_cm === 0 ? "nought" : "other", zero: String(zero_n_per_cm), note: note ?? "" }),
    subject: ({ meter }) => ({ kind: "meter", id: meter }),
  },
};
