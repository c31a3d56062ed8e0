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
import { distanceText } from "../../../shared/units.js";

const ORDER = ["A", "C", "B", "D"];

/** The side that lies opposite. */
const ACROSS = /** @type {Record<string, string>} */ ({ A: "C", C: "A", B: "D", D: "B" });

/** @param {string} side @param {number} i @returns {Step} */
function rodStep(side, i) {
  const first = i === 0;
  return {
    name: `lock_${side}`, title: `Lock side ${side}`, side, way: first ? "out" : "along", caution: ["lock"],
    todo: first
      ? [`Lay the torn edge along bar ${side}, threads parallel to it.`, "Lock the rods in at the middle, then roll outward both ways."]
      : [`Lock bar ${side} from one end to the other.`, "Guide the mesh with your free hand, a short length at a time."],
    far: "Both rods down and level with each other.",
    wrong: first ? "A skew edge stays skew: begin anew." : `A fold or a high rod slips under load. Sides ${ACROSS[side]} and ${side} must pull straight.`,
  };
}

/** @param {string} side @param {number} i @returns {Step} */
function stripStep(side, i) {
  return {
    name: `lock_${side}`, title: `Lock side ${side}`, side, way: "in", caution: ["lock"],
    todo: [`Hold the mesh in the groove of bar ${side} with the card.`, "Slide the strip in after it, wide face down."],
    far: "Strip down over its whole length.",
    wrong: i === 0 ? "A skew edge stays skew: begin anew." : "A strip that stands high at its end lets go there first.",
  };
}

/** @type {Step} */
const SLACK = {
  name: "slack", title: "Take the slack out", caution: ["lock"],
  todo: ["Form the mesh into the grooves with the card, all round.", "Pull the surplus up steadily and work the card in and out, side after side."],
  far: "The mesh hangs even all over, clear of the table.",
  wrong: "Slack left in the middle cannot be taken out by bolts.",
};

/** @param {any} frame */
function locking(frame) {
  if (frame.lock === "wedge_strip") return [SLACK, ...ORDER.map(stripStep)];
  return ORDER.map(rodStep);
}

/** @param {number} round @param {number} of @returns {Step} */
function roundStep(round, of) {
  return {
    name: `round_${round}`, title: of > 1 ? `Round ${round} of ${of}` : "First round", round, caution: ["turning"],
    todo: [round === 1 ? "All bolts but the end ones, going round the frame." : "Every bolt, going round the frame.", "Then take up any bolt that hangs loose."],
    far: "Never more at a time, and by hand.",
    wrong: "Creak or slip: stop, let off, look at the lock there.",
  };
}

/** @param {any} rules @param {string} unit */
const before = (rules, unit) => /** @type {Step[]} */ ([
  {
    name: "inspected", title: "Look the frame over", caution: [],
    todo: ["Lay it on a flat table. Press two opposite corners.", "Clean the channels. Every bolt must turn by hand; grease them."],
    far: `It may rock by ${distanceText(rules.rock_limit_mm, unit)}.`,
    wrong: "A frame that rocks prints uneven. Straighten it or take another.",
  },
  {
    name: "lock", title: "Mesh, lock and bolts", caution: ["lock"],
    todo: ["Choose the mesh. Check count and thread on its label.", "Look along rods or strips: straight, clean, no burr."],
    far: "", wrong: "Too thin a rod slips; too thick a rod cuts the mesh.",
  },
  {
    name: "piece", title: "Tear the mesh", caution: [],
    todo: ["Nick the edge and tear along the weave.", "Warp runs as chosen; most shops lay it along the stroke."],
    far: "", wrong: "Cut by eye it lies skew, and no bolt makes up for it.",
  },
  {
    name: "pre_bow", title: "Set the bars", caution: ["turning"],
    todo: ["All bolts just bearing, bars straight.", "Then turn each bolt as shown: ends further out."],
    far: `Ends ${distanceText(rules.pre_bow_mm, unit)} further out than the middle.`,
    wrong: "Straight bars leave the middle slack and the corners tight.",
  },
]);

/** @type {Step[]} */
const AFTER = [
  {
    name: "corners", title: "Ease the corners", caution: ["lock", "turning"],
    todo: ["Feel or read close to each corner, a hand’s width in.", "Tight? Free the lock there a little, let mesh in, close it again."],
    far: "Over a patch of about 25 mm.",
    wrong: "Corners climb fast: mesh tears there first.",
  },
  {
    name: "even", title: "Read, plan, turn", caution: ["turning"],
    todo: ["Wait two minutes after turning. Read all spots.", "Turn by the plan. Read again until it holds."],
    far: "", wrong: "Tension jumps or a bolt turns without effect: the lock slips there.",
  },
  {
    name: "rested", title: "Let it rest", caution: [],
    todo: ["Leave the screen lying, dry, at room temperature.", "Then read it once more before it is coated."],
    far: "", wrong: "Coated too early, it loses tension under the stencil.",
  },
];

/** @param {any} frame @param {any} rules @param {string} unit  the shop's unit of length @returns {Step[]} */
export function stepsOf(frame, rules, unit) {
  const rounds = Array.from({ length: rules.coarse_rounds }, (_, i) => roundStep(i + 1, rules.coarse_rounds));
  return [...before(rules, unit), ...locking(frame), ...rounds, ...AFTER];
}

/** Sides locked before this step. @param {Step[]} steps @param {string} name */
export function lockedBefore(steps, name) {
  const at = steps.findIndex((one) => one.name === name);
  return /** @type {string[]} */ (steps.slice(0, at).map((one) => one.side).filter(Boolean));
}
