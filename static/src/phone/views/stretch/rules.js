/** How this shop fits mesh: its limits, waits and words, and the turns that follow from them. Pure. */
const WHOLE = 48;

export const STRETCHING = {
  rock_limit_mm: 1,
  bar_out_mm: 30,
  lock_mm: 20,
  overhang_mm: 30,
  pre_bow_mm: 8,
  coarse_rounds: 2,
  rest_minutes: 15,
  /** @type {{material: string, from_per_cm: number, to_per_cm: number, rods: string}[]} */
  rods: [],
  /** @type {Record<string, string>} */
  notes: {},
};

/** What the office has set, over what is usual. @param {any} shop @returns {typeof STRETCHING} */
export const rulesOf = (shop) => ({ ...STRETCHING, ...shop?.stretching });

/** @param {any} frame @param {string} side */
const lengthOf = (frame, side) => (side === "A" || side === "C" ? frame.inside_a_mm : frame.inside_b_mm);

/** Every bolt of a frame with its side, number and place, going round it. @param {any} frame */
function boltsOf(frame) {
  return ["A", "B", "C", "D"].flatMap((side) =>
    (frame.bolts[side] ?? []).map((/** @type {number} */ at, /** @type {number} */ i, /** @type {number[]} */ all) => ({
      bolt: `${side}${i + 1}`, at, length: lengthOf(frame, side), end: all.length > 2 && (i === 0 || i === all.length - 1),
    })));
}

/** Turns before the mesh goes in, so that the ends of each bar stand further out. @param {any} frame @param {number} bowMm */
export function preBow(frame, bowMm) {
  const turn = (/** @type {any} */ one) => (bowMm * ((2 * one.at) / one.length - 1) ** 2 * WHOLE) / frame.pitch_mm;
  const rounded = (/** @type {number} */ turns) => Math.round(turns / frame.step_48ths) * frame.step_48ths;
  return boltsOf(frame)
    .map((one) => ({ bolt: one.bolt, turn_48ths: rounded(turn(one)) }))
    .filter((one) => one.turn_48ths > 0);
}

/** Stiffest threads of a kind, GPa, as `frames/mechanics/cloth.py` has them. */
const STIFFEST_GPA = /** @type {Record<string, number>} */ ({ polyester: 12, stainless: 200, other: 12 });
/** Of the target: readings and plans do the rest, since no table knows a mesh's stiffness well. */
const SHARE = 0.6;

/** What the bolts of a side turn in each coarse round, 48ths. @param {any} frame @param {string} side @param {any} mesh @param {number} rounds @param {number} limit */
export function coarseTurn(frame, side, mesh, rounds, limit) {
  const across = lengthOf(frame, side === "A" || side === "C" ? "B" : "A");
  const stiffest = mesh.count_per_cm * (Math.PI / 4) * (mesh.thread_um * 1e-4) ** 2 * STIFFEST_GPA[mesh.material] * 1e5;
  const perTurn = (stiffest * 2 * frame.pitch_mm) / across;
  const most = ((SHARE * mesh.target_n_per_cm) / perTurn / rounds) * WHOLE;
  const step = frame.step_48ths;
  return Math.max(step, Math.floor(Math.min(limit, most) / step) * step);
}

/**
 * The turns of a coarse round: alike on opposite sides; end bolts wait in the first.
 * @param {any} frame @param {any} mesh @param {Record<string, string>} states  bolts that are seized or broken
 * @param {number} round  from 1 @param {number} of  rounds in all @param {number} limit  48ths a bolt turns in a round at most
 */
export function coarseRound(frame, mesh, states, round, of, limit) {
  return boltsOf(frame)
    .filter((one) => !states[one.bolt] && (round > 1 || !one.end))
    .map((one) => ({ bolt: one.bolt, turn_48ths: coarseTurn(frame, one.bolt[0], mesh, of, limit) }));
}

/** The piece to tear off, mm, whole. @param {any} frame @param {typeof STRETCHING} rules */
export function pieceOf(frame, { bar_out_mm, lock_mm, overhang_mm }) {
  const more = 2 * (bar_out_mm + lock_mm + overhang_mm);
  return { a: Math.ceil(frame.inside_a_mm + more), b: Math.ceil(frame.inside_b_mm + more) };
}

/** The shop's rods for a mesh; else what stands on the frame. @param {any} mesh @param {any} frame @param {typeof STRETCHING} rules */
export function rodsFor(mesh, frame, { rods }) {
  const row = mesh && rods.find((one) => one.material === mesh.material && mesh.count_per_cm >= one.from_per_cm && mesh.count_per_cm <= one.to_per_cm);
  return row ? row.rods : frame.rods ?? "";
}
