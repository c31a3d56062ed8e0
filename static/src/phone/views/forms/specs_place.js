/** Where the frame went, how much it printed, and anything else in words. */
import { t } from "../../../shared/language.js";
import { MOVED_TO } from "../../../shared/words.js";
import { jobInHand } from "../../ui/in_hand.js";
import { NOTE_FIELD, named, openJobs } from "./parts.js";

/** In printing order. @param {string} job @param {any} things @returns {string[]} */
const coloursOf = (job, things) =>
  things.list("colour").filter((/** @type {any} */ one) => one.job === job).sort((/** @type {any} */ a, /** @type {any} */ b) => a.position - b.position).map((/** @type {any} */ one) => one.id);

/** @param {any} values @param {import("./specs.js").Ground} ground @returns {import("./specs.js").Field[]} */
function placeFields({ to, press }, { things }) {
  if (to === "rack") return [{ name: "rack", type: "text", label: t`Rack place`, optional: true, hint: t`As painted on the rack.` }];
  if (to !== "press") return [];
  const stations = Array.from({ length: things.get("press", press)?.stations ?? 0 }, (_, i) => ({ value: String(i + 1), text: String(i + 1) }));
  return [
    { name: "press", type: "choice", label: t`Press`, options: named(things.list("press")), empty: t`No press yet. The office adds presses.` },
    ...(stations.length > 1 ? [/** @type {import("./specs.js").Field} */ ({ name: "station", type: "choice", label: t`Station`, columns: 5, optional: true, options: stations })] : []),
  ];
}

/** @param {any} values @param {import("./specs.js").Ground} ground @returns {import("./specs.js").Field[]} */
const okSheetFields = ({ job }, { card, things }) => [
  ...(card?.screen?.job ? [] : [/** @type {import("./specs.js").Field} */ ({ name: "job", type: "choice", label: t`Job`, options: openJobs(things), empty: t`No open job on this phone. The office adds jobs.` })]),
  { name: "signed", type: "choice", label: t`OK sheet of ${things.name("job", job)}`, options: { yes: t`Signed`, no: t`Not accepted` } },
  { name: "on", type: "choice", label: t`On the sheet`, options: { all: t`All colours`, one: t`Only ${things.name("colour", card?.screen?.colour)}` } },
  NOTE_FIELD,
];

/** @type {Record<string, import("./specs.js").Spec>} */
export const PLACE_FORMS = {
  moved: {
    title: t`Moved`,
    start: ({ context, things }) => ({
      to: context.press ? "press" : "rack",
      rack: "",
      press: context.press ?? things.list("press")[0]?.id ?? null,
      station: context.station ? String(context.station) : null,
    }),
    fields: (values, ground) => [{ name: "to", type: "choice", label: t`To`, options: MOVED_TO }, ...placeFields(values, ground)],
    payload: ({ to, rack, press, station }) => ({
      to,
      rack: to === "rack" && rack.trim() ? rack.trim() : null,
      press: to === "press" ? press : null,
      station: to === "press" && station ? Number(station) : null,
    }),
    values: ({ to, rack, press, station }) => ({ to, rack: rack ?? "", press, station: station ? String(station) : null }),
  },
  impressions: {
    title: t`Impressions`,
    start: ({ context, card, things }) => ({ mode: "counter", count: "", ...jobInHand(card?.screen, context, things) }),
    fields: () => [
      { name: "mode", type: "choice", label: t`The number is`, options: { counter: t`On the counter`, added: t`Printed since` } },
      { name: "count", type: "number", label: t`Impressions`, whole: true, least: 0, most: 100_000_000 },
    ],
    payload: ({ mode, count, job, colour }) => ({ mode, count, job, colour }),
    values: (payload) => ({ ...payload, count: String(payload.count) }),
  },
  ok_sheet: {
    title: t`OK sheet`,
    start: ({ card, context }) => ({ job: card?.screen?.job ?? context.job ?? null, signed: null, on: "all", note: "" }),
    fields: okSheetFields,
    payload: ({ job, signed, on, note }, { card, context, things }) => ({
      signed: signed === "yes",
      colours: on === "one" ? [card.screen.colour] : coloursOf(job, things),
      press: context.press ?? null,
      note: note.trim(),
    }),
    values: ({ signed, colours, note }) => ({ signed: signed ? "yes" : "no", on: colours.length > 1 ? "all" : "one", note: note ?? "" }),
    subject: ({ job }) => ({ kind: "job", id: job }),
  },
  note: {
    title: t`Note`,
    start: () => ({ note: "" }),
    fields: () => [{ name: "note", type: "text", label: t`Note` }],
    payload: ({ note }) => ({ note: note.trim() }),
  },
};
