/** Mesh on, its target, mesh off. */
import { decimal, t } from "../../../shared/language.js";
import { meshText, tensionText } from "../../../shared/units.js";
import { BURST_WHERE, WARP } from "../../../shared/words.js";
import { isOnPress } from "../../ui/in_hand.js";
import { NOTE_FIELD, noted } from "./parts.js";

/** @type {import("./specs.js").Field[]} */
const TARGET = [
  { name: "target_n_per_cm", type: "number", label: t`Target`, unit: "N/cm", least: 1, most: 150 },
  { name: "tolerance_n_per_cm", type: "number", label: t`Tolerance, either way`, unit: "N/cm", least: 0.1, most: 50 },
];

const text = (/** @type {number | null | undefined} */ value) => (value === null || value === undefined ? "" : decimal(value));

/** What its card and the shop say a mesh is stretched to. @param {any} mesh @param {any} shop */
function wanted(mesh, shop) {
  return {
    target_n_per_cm: text(mesh?.target_n_per_cm),
    tolerance_n_per_cm: text(mesh?.tolerance_n_per_cm ?? shop.tolerance_n_per_cm),
  };
}

/** @type {Record<string, import("./specs.js").Spec>} */
export const MESH_FORMS = {
  mesh_fitted: {
    title: t`Mesh fitted`,
    caution: () => ["lock"],
    start({ card, things }) {
      const before = Object.values(card.screens).at(-1);
      const mesh = things.get("mesh", before?.mesh);
      return { mesh: mesh && !mesh.retired ? mesh.id : null, warp: before?.warp ?? "unknown", second_hand: "new", ...wanted(mesh, things.shop) };
    },
    fields: (values, { things }) => [
      {
        name: "mesh",
        type: "choice",
        label: t`Mesh`,
        options: things.list("mesh").map((/** @type {any} */ mesh) => ({ value: mesh.id, text: mesh.name, sub: meshText(mesh, things.shop.count_unit) })),
        empty: t`No mesh cards yet. The office adds them.`,
        sets: (/** @type {string} */ id) => wanted(things.get("mesh", id), things.shop),
      },
      { name: "warp", type: "choice", label: t`Warp runs`, columns: 3, options: WARP },
      ...TARGET.map((field) => (field.name === "target_n_per_cm" && things.get("mesh", values.mesh)?.cap_n_per_cm ? { ...field, hint: t`Card’s limit ${tensionText(things.get("mesh", values.mesh).cap_n_per_cm)} N/cm` } : field)),
      { name: "second_hand", type: "choice", label: t`This mesh was`, options: { new: t`Fitted now`, held: t`On it already` } },
    ],
    payload: ({ mesh, warp, target_n_per_cm, tolerance_n_per_cm, second_hand }) => ({ mesh, warp, target_n_per_cm, tolerance_n_per_cm, second_hand: second_hand === "held" }),
    values: (payload) => ({ ...payload, target_n_per_cm: text(payload.target_n_per_cm), tolerance_n_per_cm: text(payload.tolerance_n_per_cm), second_hand: payload.second_hand ? "held" : "new" }),
  },
  target_set: {
    title: t`Target`,
    start: ({ card }) => ({ target_n_per_cm: text(card.screen?.target_n_per_cm), tolerance_n_per_cm: text(card.screen?.tolerance_n_per_cm) }),
    fields: () => TARGET,
    payload: ({ target_n_per_cm, tolerance_n_per_cm }) => ({ target_n_per_cm, tolerance_n_per_cm }),
  },
  mesh_removed: {
    ...noted(t`Mesh removed`),
    caution: ({ card, context }) => [...(card?.frame.awaiting_removal && isOnPress(card, context) ? /** @type {const} */ (["burst"]) : []), "removing", "lock"],
  },
  burst: {
    title: t`Burst`,
    caution: () => ["burst"],
    start: () => ({ where: null, impressions: "", note: "" }),
    fields: () => [
      { name: "where", type: "choice", label: t`Where did it tear?`, options: BURST_WHERE },
      { name: "impressions", type: "number", label: t`At how many impressions`, whole: true, optional: true, least: 0, most: 100_000_000 },
      NOTE_FIELD,
    ],
    payload: ({ where, impressions, note }) => ({ where, u: null, v: null, impressions, note: note.trim() }),
    values: ({ where, impressions, note }) => ({ where, impressions: text(impressions), note: note ?? "" }),
  },
};
