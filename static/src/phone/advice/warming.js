/** A plan for nobody: a browser takes three times as long over the first, so that is made before anybody waits. */
import { tensionPlan } from "./tensioning.js";

const TARGET = 20;
const AT = [0.15, 0.5, 0.85];
const START = { fitted_at: "2026-01-01T08:00:00.000Z", target_n_per_cm: TARGET, tolerance_n_per_cm: 1, stencil: "bare", turns: { A1: 48 }, register_turns: {}, checks: {}, last_check: null };

/** Nine spots of a mesh that is a little slack, more so on one side. */
const spots = AT.flatMap((v) => AT.map((u) => ({ u, v, along_a_n_per_cm: TARGET - 3 + 2 * u, across_a_n_per_cm: TARGET - 2 - 2 * v })));

/**
 * The same sort of plan as will be asked for, on the frame in hand; its answer is thrown away.
 * @param {any} frame body of the thing @param {any} mesh body of the thing
 */
export function warmUp(frame, mesh) {
  const after = (/** @type {number} */ minute, /** @type {string} */ kind, /** @type {any} */ payload) => ({ id: `${minute}`, kind, payload, occurred_at: `2026-01-01T08:${minute}:00.000Z`, clock_offset_ms: 0 });
  const since = [after(10, "mesh_fitted", {}), after(40, "tension_check", { stencil: "bare", spots })];
  tensionPlan({ frame, mesh, screen: START, since, estimate: null, options: { purpose: "retension", hidden: [] } });
}
