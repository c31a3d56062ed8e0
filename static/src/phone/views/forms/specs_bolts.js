/** What is known about single bolts, and about the meter. */
import { BOLT_STATE } from "../../../shared/words.js";
import { NOTE_FIELD, named } from "./parts.js";

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
    start: ({ context, things }) => ({ meter: context.meter ?? things.list("meter")[0]?.id ?? null, zero: "0", note: "" }),
    fields: (_, { things }) => [
      { name: "meter", type: "choice", label: "Meter", options: named(things.list("meter")), empty: "No meter yet. The office adds meters." },
      { name: "zero", type: "number", label: "It showed on its glass", unit: "N/cm", signed: true, least: -50, most: 50, hint: "Before it was set to 0." },
      NOTE_FIELD,
    ],
    payload: ({ zero, note }) => ({ zero_n_per_cm: zero, note: note.trim() }),
    values: ({ zero_n_per_cm, note }) => ({ zero: String(zero_n_per_cm), note: note ?? "" }),
    subject: ({ meter }) => ({ kind: "meter", id: meter }),
  },
};
