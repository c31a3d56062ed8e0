/** Sums about mesh: what it lets through, what its threads bear, how large a piece to tear off. */
import { t } from "../../../shared/language.js";
import { inkVolume, openAreaPct, openingUm, stretched, tensionAtStress, threadStress, wetFilmUm } from "../../sums/weave.js";
import { pieceMm } from "../../sums/side.js";

/** @typedef {import("./specs.js").Sum} Sum */

// Working tensions of garment mesh in daily use come out at 125 to 200 MPa.
export const LASTING_MPA = 160;

/** @type {Sum} */
const weave = {
  title: t`Opening and ink`,
  about: t`What a mesh lets through.`,
  asks: [
    { name: "count", label: t`Threads`, measure: "count", least: 4, most: 260, from: ({ mesh }) => mesh?.count },
    { name: "thread", label: t`Thread`, measure: "um", least: 10, most: 600, from: ({ mesh }) => mesh?.thread_um },
    { name: "thickness", label: t`Fabric thickness`, measure: "um", least: 10, most: 1500, optional: true, hint: t`From the mesh card: it cannot be computed.`, from: ({ mesh }) => mesh?.card?.thickness_um?.value },
    { name: "build_up", label: t`Emulsion over the mesh`, measure: "um", least: 0, most: 500, optional: true },
    { name: "stretch", label: t`Elongation when stretched`, measure: "pct", least: 0, most: 20, optional: true },
  ],
  answer({ count, thread, thickness, build_up, stretch }) {
    const opening = openingUm(count, thread);
    if (opening <= 0) return { trouble: t`Threads this thick would touch. Check count and thread.` };
    const open = openAreaPct(opening, thread);
    const wide = stretch ? stretched(count, opening, stretch / 100) : null;
    return {
      lines: [
        [t`Opening`, opening, "um"],
        [t`Open area`, open, "pct"],
        thickness && [t`Ink volume`, inkVolume(thickness, open), "ink"],
        thickness && [t`Wet film`, wetFilmUm(thickness, open, build_up ?? 0), "um"],
        wide && [t`Threads, stretched`, wide.perCm, "count"],
        wide && [t`Opening, stretched`, wide.opening, "um"],
      ],
    };
  },
  formula: [t`opening = 10 000 / threads per cm − thread`, t`open area = (opening / (opening + thread))²`, t`ink = thickness × open area; film = ink + emulsion`, t`stretched by e: threads / (1 + e), opening × (1 + e)`],
  limits: t`Theoretical, for plain weave at rest. Figures on the mesh card go first; cards of different makers cannot be compared.`,
  source: t`Geometry of plain weave; ink volume as mesh makers name it.`,
};

/** @type {Sum} */
const stress = {
  title: t`Thread stress`,
  about: t`How hard the threads work at a tension.`,
  asks: [
    { name: "count", label: t`Threads`, measure: "count", least: 4, most: 260, from: ({ mesh }) => mesh?.count },
    { name: "thread", label: t`Thread`, measure: "um", least: 10, most: 600, from: ({ mesh }) => mesh?.thread_um },
    { name: "tension", label: t`Tension`, measure: "tension", least: 0.5, most: 150, from: ({ screen, mesh }) => screen?.target_n_per_cm ?? mesh?.target_n_per_cm },
  ],
  answer: ({ count, thread, tension }) => ({
    lines: [
      [t`Stress in a thread`, threadStress(tension, count, thread), "stress"],
      [t`Tension at ${LASTING_MPA} MPa`, tensionAtStress(LASTING_MPA, count, thread), "tension"],
    ],
  }),
  formula: [t`stress = tension / (threads × thread area)`],
  limits: t`Polyester in daily use was seen to last at 125 to 200 MPa. A rule of thumb for a mesh without a card, not for steel.`,
  source: t`Tensions that garment mesh lasted at over many years, over the area of its threads.`,
};

/** @type {Sum} */
const piece = {
  title: t`Piece of mesh`,
  about: t`How large a piece to tear off.`,
  asks: [
    { name: "a", label: t`Inside along A`, measure: "length", least: 100, most: 6000, from: ({ frame }) => frame?.inside_a_mm },
    { name: "b", label: t`Inside along B`, measure: "length", least: 100, most: 6000, from: ({ frame }) => frame?.inside_b_mm },
    { name: "outward", label: t`From inside edge to outside of the bar`, measure: "length", least: 0, most: 200 },
    { name: "lock", label: t`Mesh that goes into one lock`, measure: "length", least: 0, most: 100 },
    { name: "overhang", label: t`Overhang beyond the bar`, measure: "length", least: 0, most: 200, start: 30, hint: t`25 to 38 mm is usual (common practice).` },
  ],
  answer: ({ a, b, outward, lock, overhang }) => ({
    lines: [[t`Along A`, pieceMm(a, outward, lock, overhang), "length"], [t`Along B`, pieceMm(b, outward, lock, overhang), "length"]],
  }),
  formula: [t`piece = inside + 2 × (way to the bar + lock + overhang)`],
  limits: t`Tear along the weave, never cut by eye. The frame maker’s instructions go first.`,
  source: t`Common practice, no source.`,
};

export const MESH_SUMS = { weave, stress, piece };
