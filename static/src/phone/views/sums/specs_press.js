/** Sums about printing: the gap under the screen, and what moves the colours of a set apart. */
import { budget, byGap, byTension, filmScale } from "../../sums/budget.js";
import { downforce, extraStrain, growthMm } from "../../sums/gap.js";
import { GROWTH_PER_K } from "../../sums/side.js";

/** @typedef {import("./specs.js").Sum} Sum */

const METALS = { aluminium: "Aluminium", steel: "Steel" };

/** @type {Sum} */
const gap = {
  title: "Off-contact",
  about: "How much larger the gap makes the print.",
  asks: [
    { name: "span", label: "Free mesh, bar to bar", measure: "length", least: 50, most: 6000, from: ({ frame }) => frame?.inside_b_mm },
    { name: "image", label: "Image, in the middle", measure: "length", least: 10, most: 5900 },
    { name: "gap", label: "Gap", measure: "length", least: 0, most: 50, start: 3 },
    { name: "tension", label: "Tension", measure: "tension", least: 0.5, most: 150, from: ({ screen }) => screen?.last_check?.mean ?? screen?.target_n_per_cm },
    { name: "stiffness", label: "Stiffness of the mesh", measure: "stiffness", least: 20, most: 100000, optional: true, hint: "About 700 to 2200 for polyester, 15 000 for steel mesh." },
  ],
  answer({ span, image, gap: height, tension, stiffness }) {
    if (image >= span) return { trouble: "The image must be shorter than the free mesh." };
    const [middle, end] = [span / 2, (span - image) / 2];
    return {
      said: `The print grows by ${growthMm(span, height, image).toFixed(2)} mm. It goes with the gap squared.`,
      lines: [
        ["Print longer than stencil", growthMm(span, height, image), "length"],
        ["Push the mesh down, middle", downforce(span, height, middle, tension), "push"],
        ["Push it down, end of image", downforce(span, height, end, tension), "push"],
        stiffness && ["Tension added, middle", stiffness * extraStrain(span, height, middle), "tension"],
        stiffness && ["Tension added, end of image", stiffness * extraStrain(span, height, end), "tension"],
      ],
    };
  },
  formula: ["a point prints at x when s = L l₁ / (l₁ + l₂)", "l₁ = √(x² + h²), l₂ = √((L − x)² + h²)"],
  limits: "Exact geometry, no friction. A changed gap looks like a moved mesh: write it down with every tweak.",
};

/** @type {Sum} */
const register = {
  title: "Register of a set",
  about: "What can move two colours apart.",
  asks: [
    { name: "image", label: "Image length", measure: "length", least: 10, most: 5000 },
    { name: "tolerance", label: "Register tolerance", measure: "length", least: 0.01, most: 20, start: 0.2 },
    { name: "change", label: "Tension moved on by bolts", measure: "tension", least: 0, most: 50, start: 0, hint: "Creep at bars that stay moves the image hardly at all." },
    { name: "stiffness", label: "Stiffness of the mesh", measure: "stiffness", least: 20, most: 100000, start: 1100 },
    { name: "span", label: "Free mesh, bar to bar", measure: "length", least: 50, most: 6000, from: ({ frame }) => frame?.inside_b_mm },
    { name: "gap", label: "Gap of one colour", measure: "length", least: 0, most: 50, start: 3 },
    { name: "other", label: "Gap of the other", measure: "length", least: 0, most: 50, start: 3 },
    { name: "sheet", label: "Sheet grows between colours", measure: "pct", least: -5, most: 5, signed: true, start: 0, hint: "Coated paper: about 0.1 along, 0.15 to 0.35 across the grain." },
    { name: "warmer", label: "Warmer between colours by", measure: "kelvin", least: -40, most: 60, signed: true, start: 0 },
    { name: "metal", label: "Frame", options: METALS, start: "aluminium" },
  ],
  answer({ image, tolerance, change, stiffness, span, gap: first, other, sheet, warmer, metal }) {
    if (image >= span) return { trouble: "The image must be shorter than the free mesh." };
    const moisture = (sheet / 100) * image;
    const terms = budget([
      { name: "tension moved by bolts", mm: byTension(change, stiffness, image) },
      { name: "gap", mm: byGap(span, image, first, other) },
      { name: "sheet", mm: moisture },
      { name: "warmth of the frame", mm: -GROWTH_PER_K[/** @type {"aluminium" | "steel"} */ (metal)] * warmer * image },
    ]);
    return {
      said: `Likely ${terms.likely.toFixed(2)} mm of ${tolerance} mm: ${terms.likely <= tolerance ? "within it" : `${terms.ranked[0].name} first`}.`,
      lines: [
        ...terms.ranked.map(({ name, mm }) => /** @type {[string, number, "length"]} */ ([name, mm, "length"])),
        ["All together at worst", terms.sum, "length"],
        moisture && ["Scale the first colour’s film by", filmScale(moisture, image).toFixed(5), "plain"],
      ],
    };
  },
  formula: ["tension: ΔT / stiffness × image", "gap: growth of one less growth of the other", "sheet: percent × image; warmth: 24 (steel 12) µm per metre and °C", "likely = √(sum of squares)"],
  limits: "Bounds, one cause at a time over the whole image, not a forecast.",
};

export const PRESS_SUMS = { gap, register };
