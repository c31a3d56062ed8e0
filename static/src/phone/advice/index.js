/** Advice worked out on the phone itself: plain JSON in and out, as `frames/advice` on the server. */
import { cornerPlan } from "./easing.js";
import { whatIf } from "./outcomes.js";
import { registerPlan } from "./registering.js";
import { evenUp, tensionPlan } from "./tensioning.js";
import { warmUp } from "./warming.js";

export { cornerPlan, evenUp, registerPlan, tensionPlan, warmUp, whatIf };

/** @type {any} */ (globalThis).tautbookAdvice = { cornerPlan, evenUp, registerPlan, tensionPlan, warmUp, whatIf };
