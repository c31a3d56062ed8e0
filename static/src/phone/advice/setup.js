/** Bodies of things and states as the mechanics takes them. */
import { t } from "../../shared/language.js";
import { adjuster } from "./mechanics/adjusters.js";
import { Bolt, PER_TURN } from "./mechanics/bolts.js";
import { Mesh } from "./mechanics/cloth.js";
import { InputFault } from "./mechanics/faults.js";
import { Layout } from "./mechanics/layout.js";
import { Limits } from "./mechanics/limits.js";
import { Strip } from "./mechanics/strip.js";
import { aimAt } from "./mechanics/tension_program.js";
import { View } from "./mechanics/views.js";
import { setup as numbers } from "./numbers.js";

/**
 * What a request holds is told in `frames/advice/__init__.py`; the same goes to the server.
 *
 * @typedef {Record<string, any>} Request
 * @typedef {import("./mechanics/layout.js").Place} Place
 */

/** The body under a key. @param {Request} request @param {string} key */
function needed(request, key) {
  const body = request[key];
  if (body && typeof body === "object") return body;
  throw new InputFault(key, body ?? null, t`Send the ${key}'s body, as it stands in the feed.`);
}

/** One request, read as far as it does not depend on what was measured. */
export class Setup {
  /** @param {Request} request */
  constructor(request) {
    this.request = request;
    this.frame = needed(request, "frame");
    this.screen = needed(request, "screen");
    /** @type {Record<string, any>} */
    this.options = request.options ?? {};
    const ei = /** @type {Record<string, number>} */ (numbers.BAR_EI_N_CM2)[this.frame.profile];
    this.layout = new Layout(this.frame.inside_a_mm, this.frame.inside_b_mm, this.frame.bolts, ei);
    const mesh = needed(request, "mesh");
    this.strip = new Strip(this.layout, Mesh.of(mesh.material, mesh.count_per_cm, mesh.thread_um));
    this.bolt = new Bolt(this.frame.pitch_mm, this.options.step_48ths || this.frame.step_48ths);
    this.view = new View(this.options.face || "squeegee", this.options.near || "A");
    /** @type {string} */
    this.purpose = this.options.purpose || "retension";
    this.isCoated = this.screen.stencil !== "bare";
    /** @type {string} */
    this.where = this.options.where || (this.purpose === "register" ? "press" : "bench");
    /** Bolts out of reach: as told, else those under the clamps of the press. @type {string[]} */
    this.hidden = this.options.hidden ?? this.#under(request.press?.clamps ?? []);
    this.limits = this.#limits(mesh.cap_n_per_cm ?? null);
  }

  /** Clamps lie near, right, far or left; they are measured from the left or the near end. @param {any[]} clamps */
  #under(clamps) {
    const { insideA, insideB, names } = this.layout;
    const [wide, deep] = "AC".includes(this.view.near) ? [insideA, insideB] : [insideB, insideA];
    return names.filter((name) => {
      const side = /** @type {import("./mechanics/layout.js").Side} */ (name[0]);
      const lies = placeOf(this.view.seen(onSide(side, 0.5)));
      const share = this.layout.along(side)[Number(name.slice(1)) - 1] / this.layout.length(side);
      const [right, away] = this.view.seen(onSide(side, share));
      const at = lies === "near" || lies === "far" ? right * wide : away * deep;
      return clamps.some((clamp) => clamp.side === lies && (clamp.from_mm ?? 0) <= at && at <= (clamp.to_mm ?? Infinity));
    });
  }

  /** @param {number | null} cap */
  #limits(cap) {
    const told = this.options.round_limit_48ths || this.request.shop?.round_limit_48ths || 96;
    const turns = Math.max(told, numbers.LEAST_LIMIT_48THS) / PER_TURN;
    const states = Object.entries(this.request.frame_state?.bolts ?? {}).filter(([bolt]) => this.layout.places.has(bolt));
    const being = (/** @type {string} */ word) => states.flatMap(([bolt, was]) => (was === word ? [bolt] : []));
    const first = this.options.first_round ?? (this.purpose === "stretch" && !Object.values(this.screen.turns).some(Boolean));
    return new Limits(
      { turns, loosen_turns: Math.min(1, turns), cap_n_per_cm: /** @type {any} */ (cap), first_round: Boolean(first) },
      { hidden: this.hidden, seized: being("seized"), broken: being("broken") },
    );
  }

  get aim() {
    const [target, tolerance] = ["target_n_per_cm", "tolerance_n_per_cm"].map((key) => this.options[key] || this.screen[key]);
    return aimAt(target, tolerance);
  }

  get adjusters() {
    return (this.request.press?.adjusters ?? []).map(adjuster);
  }
}

/** A point of a side, at a share of its length along x or y. @param {import("./mechanics/layout.js").Side} side @param {number} share @returns {Place} */
const onSide = (side, share) => /** @type {Record<string, Place>} */ ({ A: [share, 0], B: [1, share], C: [share, 1], D: [0, share] })[side];

/** Which side of the reader's view a side's middle lies on. @param {Place} seen */
function placeOf([right, away]) {
  if (away === 0) return "near";
  if (away === 1) return "far";
  return right === 1 ? "right" : "left";
}
