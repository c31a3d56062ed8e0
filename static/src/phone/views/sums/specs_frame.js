/** Sums about the frame: its sides under load, the setting of its bolts before the mesh, which target it allows. */
import { decimal, t } from "../../../shared/language.js";
import { ranked, stressAreaMm2, tensionAtBolts } from "../../sums/budget.js";
import { GROWTH_PER_K, boxedU, plainU, preBowTurns, ribbedU, section, sideLoad, tensionAtBow } from "../../sums/side.js";
import { tensionAtStress } from "../../sums/weave.js";
import { LASTING_MPA } from "./specs_mesh.js";

/** @typedef {import("./specs.js").Sum} Sum */
/** @typedef {import("./specs.js").Ask} Ask */

const PROFILES = { plain_u: t`Plain U`, ribbed_u: t`Ribbed U`, boxed_u: t`Boxed U` };
const THREADS = { inch: "5/16-18", metric: "M8" };
/** Diameter, pitch, mm. */
const THREAD_MM = /** @type {const} */ ({ inch: [7.9375, 25.4 / 18], metric: [8, 1.25] });

const profileOf = (/** @type {any} */ values) => values.profile ?? "plain_u";

/** @type {Ask[]} */
const PROFILE_ASKS = [
  { name: "profile", label: t`Profile`, options: PROFILES, start: "plain_u", from: ({ frame }) => frame?.profile },
  { name: "flange", label: t`Flange, lying`, measure: "length", least: 10, most: 200 },
  { name: "web", label: t`Web, upright`, measure: "length", least: 10, most: 200 },
  { name: "wall", label: t`Wall`, measure: "length", least: 1, most: 20 },
  { name: "ribs", label: t`Ribs on the back`, measure: "plain", least: 1, most: 12, whole: true, when: (values) => profileOf(values) === "ribbed_u" },
  { name: "rib", label: t`Rib stands out`, measure: "length", least: 1, most: 50, when: (values) => profileOf(values) === "ribbed_u" },
  { name: "box", label: t`Box, lying`, measure: "length", least: 10, most: 200, when: (values) => profileOf(values) === "boxed_u" },
  { name: "over", label: t`Box, upright`, measure: "length", least: 5, most: 150, when: (values) => profileOf(values) === "boxed_u" },
];

/** @param {any} values */
function sectionOf({ profile, flange, web, wall, ribs, rib, box, over }) {
  if (profile === "ribbed_u") return section(ribbedU(flange, web, wall, ribs, rib));
  return section(profile === "boxed_u" ? boxedU(flange, web, wall, box, over) : plainU(flange, web, wall));
}

const longest = (/** @type {any} */ { frame }) => frame && Math.max(frame.inside_a_mm, frame.inside_b_mm);

/** @type {Sum} */
const side = {
  title: t`Side of the frame`,
  about: t`Load, bow and stress of a side.`,
  asks: [
    ...PROFILE_ASKS,
    { name: "length", label: t`Longest side, inside`, measure: "length", least: 100, most: 6000, from: longest },
    { name: "tension", label: t`Tension`, measure: "tension", least: 0.5, most: 150, from: ({ screen }) => screen?.target_n_per_cm },
    { name: "bow", label: t`Bow allowed`, measure: "length", least: 0.05, most: 50, start: 1 },
    { name: "warmer", label: t`Warmer by`, measure: "kelvin", least: 0, most: 80, optional: true },
  ],
  answer(values) {
    const made = sectionOf(values);
    const load = sideLoad(made, values.length, values.tension);
    const within = load.pinned <= values.bow;
    return {
      said: within ? t`Within the bow allowed, even with corners that give.` : load.builtIn > values.bow ? t`Bows too much: stiffer profile, lower tension, or smaller frame.` : t`Depends on the corners: measure the bow.`,
      lines: [
        [t`Load on the side`, load.load, "force"],
        [t`Bow, corners that give`, load.pinned, "length"],
        [t`Bow, stiff corners`, load.builtIn, "length"],
        [t`Stress`, load.stress, "stress"],
        [t`Tension at the bow allowed`, tensionAtBow(made, values.length, values.bow), "tension"],
        values.warmer && [t`Grows when warmer`, GROWTH_PER_K.aluminium * values.length * values.warmer, "length"],
      ],
    };
  },
  formula: [t`bow = 5 w L⁴ / 384 EI (pinned), w L⁴ / 384 EI (built in)`, t`stress = w L² / 8 × reach / I, I by parallel axes`, t`growth = 24 µm per metre and °C (aluminium)`],
  limits: t`Aluminium, E 69 000 MPa; real corners lie between the two cases.`,
  source: t`Standard beam formulas, from memory.`,
};

/** @type {Sum} */
const prebow = {
  title: t`Pre-bow`,
  about: t`Bolts before the mesh goes in.`,
  frame: true,
  asks: [
    { name: "bow", label: t`Ends of the bar further out`, measure: "length", least: 1, most: 30, start: 8, hint: t`6 to 10 mm is usual (common practice).` },
  ],
  answer({ bow }, { frame }) {
    const of = (/** @type {string} */ name) => preBowTurns(frame.bolts[name], name === "A" || name === "C" ? frame.inside_a_mm : frame.inside_b_mm, bow, frame.pitch_mm);
    return {
      lines: ["A", "B", "C", "D"].filter((name) => frame.bolts[name].length).map((name) => [t`${name}, turns`, of(name).map((turns) => decimal(turns.toFixed(1))).join(" · "), "plain"]),
    };
  },
  formula: [t`turns = bow × (2x / L − 1)² / pitch`],
  limits: t`In the order of the bolts’ numbers. The frame maker’s instructions go first.`,
  source: t`Common practice: a parabola whose ends stand further out.`,
};

/** @type {Sum} */
const target = {
  title: t`Which target?`,
  about: t`What mesh, threads, frame and bolts allow.`,
  asks: [
    { name: "low", label: t`Least the work needs`, measure: "tension", least: 1, most: 150, from: ({ mesh }) => mesh?.tension_min_n_per_cm },
    { name: "card", label: t`Most on the mesh card`, measure: "tension", least: 1, most: 150, optional: true, from: ({ mesh }) => mesh?.cap_n_per_cm ?? mesh?.tension_max_n_per_cm },
    { name: "count", label: t`Threads`, measure: "count", least: 4, most: 260, from: ({ mesh }) => mesh?.count },
    { name: "thread", label: t`Thread`, measure: "um", least: 10, most: 600, from: ({ mesh }) => mesh?.thread_um },
    ...PROFILE_ASKS,
    { name: "length", label: t`Longest side, inside`, measure: "length", least: 100, most: 6000, from: longest },
    { name: "bow", label: t`Bow allowed`, measure: "length", least: 0.05, most: 50, start: 1 },
    { name: "widest", label: t`Widest stretch of mesh on one bolt`, measure: "length", least: 10, most: 1000, from: ({ frame }) => widestOf(frame), hint: t`Half-way to its neighbours; end bolts carry to the corner.` },
    { name: "bolt", label: t`Bolts`, options: THREADS, start: "inch" },
    { name: "proof", label: t`Proof stress of the bolts`, measure: "stress", least: 100, most: 1200, start: 450, hint: t`From the bolt maker: stainless differs much.` },
  ],
  answer(values) {
    const [diameter, pitch] = THREAD_MM[/** @type {"inch" | "metric"} */ (values.bolt)];
    const area = stressAreaMm2(diameter, pitch, values.bolt === "inch");
    const threads = { name: t`threads`, most: tensionAtStress(LASTING_MPA, values.count, values.thread) };
    const all = ranked([
      // the maker's card outranks a rule of thumb
      values.card ? { name: t`mesh card`, most: values.card } : threads,
      { name: t`bow of the frame`, most: tensionAtBow(sectionOf(values), values.length, values.bow) },
      { name: t`bolts`, most: tensionAtBolts([values.widest / 2], values.widest, area, values.proof) },
    ]);
    const [first] = all;
    const high = decimal(first.most.toFixed(1));
    return {
      said: first.most < values.low ? t`Out of reach: ${high} N/cm at most. First limit: ${first.name}.` : t`${values.low} to ${high} N/cm. First limit: ${first.name}.`,
      lines: [...all, ...(values.card ? [threads] : [])].map(({ name, most }) => [name, most, "tension"]),
    };
  },
  formula: [t`threads: ${LASTING_MPA} MPa × threads × thread area`, t`frame: 384 EI × bow / 5 L⁴, corners that give`, t`bolts: ¾ of proof load / mesh on the bolt`],
  limits: t`Corners of the mesh read higher than its middle. The mesh maker’s and frame maker’s figures go first.`,
  source: t`Tensions that mesh lasted at in daily use; a beam formula; the rule for joints that are opened again.`,
};

/** Mesh carried by the most loaded bolt of a frame, mm. @param {any} frame */
function widestOf(frame) {
  if (!frame) return undefined;
  const of = (/** @type {number[]} */ places, /** @type {number} */ length) => {
    const at = [...places].sort((one, two) => one - two);
    const borders = [0, ...at.slice(1).map((place, i) => (place + at[i]) / 2), length];
    return at.length ? Math.max(...borders.slice(1).map((place, i) => place - borders[i])) : 0;
  };
  return Math.max(...["A", "B", "C", "D"].map((name) => of(frame.bolts[name], name === "A" || name === "C" ? frame.inside_a_mm : frame.inside_b_mm)));
}

export const FRAME_SUMS = { target, side, prebow };
