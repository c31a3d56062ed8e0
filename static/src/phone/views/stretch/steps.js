/**
 * The steps of fitting mesh, in order: what to do, how far, what can go wrong. Pure.
 * The frame maker's instructions and the shop's own rules go before all of it.
 *
 * @typedef {object} Step
 * @property {string} name  also under which the shop keeps its own words
 * @property {string} title
 * @property {string[]} todo
 * @property {string} far
 * @property {string} wrong
 * @property {(keyof typeof import("../../../shared/cautions.js").CAUTIONS)[]} caution
 * @property {string} [side]  that is locked in
 * @property {"out" | "along" | "in"} [way]  how the lock goes along it
 * @property {number} [round]
 */
import { t } from "../../../shared/language.js";
import { distanceText } from "../../../shared/units.js";

const ORDER = ["A", "C", "B", "D"];
/** A sixth of a turn, as hex heads go. */
const FLAT = 8;

/** The side that lies opposite. */
const ACROSS = /** @type {Record<string, string>} */ ({ A: "C", C: "A", B: "D", D: "B" });

/** @param {string} side @param {number} i @returns {Step} */
function rodStep(side, i) {
  const first = i === 0;
  return {
    name: `lock_${side}`, title: t`Lock side ${side}`, side, way: first ? "out" : "along", caution: ["lock"],
    todo: first
      ? [t`Lay the torn edge along bar ${side}, threads parallel to it.`, t`Lock the rods in at the middle, then roll outward both ways.`]
      : [t`Lock bar ${side} from one end to the other.`, t`Guide the mesh with your free hand, a short length at a time.`],
    far: t`Both rods down and level with each other.`,
    wrong: first ? t`A skew edge stays skew: begin anew.` : t`A fold or a high rod slips under load. Sides ${ACROSS[side]} and ${side} must pull straight.`,
  };
}

/** @param {string} side @param {number} i @returns {Step} */
function stripStep(side, i) {
  return {
    name: `lock_${side}`, title: t`Lock side ${side}`, side, way: "in", caution: ["lock"],
    todo: [t`Hold the mesh in the groove of bar ${side} with the card.`, t`Slide the strip in after it, wide face down.`],
    far: t`Strip down over its whole length.`,
    wrong: i === 0 ? t`A skew edge stays skew: begin anew.` : t`A strip that stands high at its end lets go there first.`,
  };
}

/** @type {Step} */
const SLACK = {
  name: "slack", title: t`Take the slack out`, caution: ["lock"],
  todo: [t`Form the mesh into the grooves with the card, all round.`, t`Pull the surplus up steadily and work the card in and out, side after side.`],
  far: t`The mesh hangs even all over, clear of the table.`,
  wrong: t`Slack left in the middle cannot be taken out by bolts.`,
};

/** @param {any} frame */
function locking(frame) {
  if (frame.lock === "wedge_strip") return [SLACK, ...ORDER.map(stripStep)];
  return ORDER.map(rodStep);
}

/** @param {number} round @param {number} of @returns {Step} */
function roundStep(round, of) {
  return {
    name: `round_${round}`, title: of > 1 ? t`Round ${round} of ${of}` : t`First round`, round, caution: ["turning"],
    todo: [round === 1 ? t`All bolts but the end ones, going round the frame.` : t`Every bolt, going round the frame.`, t`Then take up any bolt that hangs loose.`],
    far: t`Never more at a time, with a hand spanner.`,
    wrong: t`Creak or slip: stop, let off, look at the lock there.`,
  };
}

/** @param {any} rules @param {string} unit @param {number} step of the bolts, 48ths */
const before = (rules, unit, step) => /** @type {Step[]} */ ([
  {
    name: "inspected", title: t`Look the frame over`, caution: [],
    todo: [t`Lay it on a flat table. Press two opposite corners.`, t`Clean the channels. Every bolt must turn by hand; grease them.`],
    far: t`It may rock by ${distanceText(rules.rock_limit_mm, unit)}.`,
    wrong: t`A frame that rocks prints uneven. Straighten it or take another.`,
  },
  {
    name: "lock", title: t`Mesh, lock and bolts`, caution: ["lock"],
    todo: [t`Choose the mesh. Check count and thread on its label.`, t`Look along rods or strips: straight, clean, no burr.`],
    far: "", wrong: t`Too thin a rod slips; too thick a rod cuts the mesh.`,
  },
  {
    name: "piece", title: t`Tear the mesh`, caution: [],
    todo: [t`Nick the edge and tear along the weave.`, t`Warp runs as chosen; most shops lay it along the stroke.`],
    far: "", wrong: t`Cut by eye it lies skew, and no bolt makes up for it.`,
  },
  {
    name: "pre_bow", title: t`Set the bars`, caution: ["turning"],
    todo: [t`All bolts just bearing, bars straight.`, t`Then turn each bolt as shown: ends further out.`],
    far: [t`Ends ${distanceText(rules.pre_bow_mm, unit)} further out than the middle.`, step === FLAT && t`Six flats are one turn.`].filter(Boolean).join(" "),
    wrong: t`Straight bars leave the middle slack and the corners tight.`,
  },
]);

/** @type {Step[]} */
const AFTER = [
  {
    name: "corners", title: t`Ease the corners`, caution: ["loaded", "lock", "turning"],
    todo: [t`Wait two minutes. Read the middle and each corner, a hand’s width in.`, t`Ease end bolts as shown. Still tight? Let them off until it is slack there, then free the lock a little.`],
    far: t`Over a patch of about 25 mm.`,
    wrong: t`Corners climb fast: mesh tears there first.`,
  },
  {
    name: "even", title: t`Read, plan, turn`, caution: ["turning"],
    todo: [t`Wait two minutes after turning. Read all spots.`, t`Turn by the plan. Read again until it holds.`],
    far: "", wrong: t`Tension jumps or a bolt turns without effect: the lock slips there.`,
  },
  {
    name: "rested", title: t`Let it rest`, caution: [],
    todo: [t`Leave the screen lying, dry, at room temperature.`, t`Then read it once more before it is coated.`],
    far: "", wrong: t`Coated too early, it loses tension under the stencil.`,
  },
];

/** @param {any} frame @param {any} rules @param {string} unit  the shop's unit of length @returns {Step[]} */
export function stepsOf(frame, rules, unit) {
  const rounds = Array.from({ length: rules.coarse_rounds }, (_, i) => roundStep(i + 1, rules.coarse_rounds));
  return [...before(rules, unit, frame.step_48ths), ...locking(frame), ...rounds, ...AFTER];
}

/** Sides locked before this step. @param {Step[]} steps @param {string} name */
export function lockedBefore(steps, name) {
  const at = steps.findIndex((one) => one.name === name);
  return /** @type {string[]} */ (steps.slice(0, at).map((one) => one.side).filter(Boolean));
}
