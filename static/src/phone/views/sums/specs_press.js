/** Sums about printing: the gap under the screen, and what moves the colours of a set apart. */
import { decimal, t } from "../../../shared/language.js";
import { budget, byGap, byTension, filmScale } from "../../sums/budget.js";
import { downforce, extraStrain, growthMm } from "../../sums/gap.js";
import { GROWTH_PER_K } from "../../sums/side.js";

/** @typedef {import("./specs.js").Sum} Sum */

const METALS = { aluminium: t`Aluminium`, steel: t`Steel` };

/** @type {Sum} */
const gap = {
  title: t`Off-contact`,
  about: t`How much larger the gap makes the print.`,
  asks: [
    { name: "span", label: t`Free mesh, bar to bar`, measure: "length", least: 50, most: 6000, from: ({ frame }) => frame?.inside_b_mm },
    { name: "image", label: t`Image, in the middle`, measure: "length", least: 10, most: 5900 },
    { name: "gap", label: t`Gap`, measure: "length", least: 0, most: 50, start: 3 },
    { name: "tension", label: t`Tension`, measure: "tension", least: 0.5, most: 150, from: ({ screen }) => screen?.last_check?.mean ?? screen?.target_n_per_cm },
    { name: "stiffness", label: t`Stiffness of the mesh`, measure: "stiffness", least: 20, most: 100000, optional: true, hint: t`About 700 to 2200 for polyester, 15 000 for steel mesh.` },
  ],
  answer({ span, image, gap: height, tension, stiffness }) {
    if (image >= span) return { trouble: t`The image must be shorter than the free mesh.` };
    const [middle, end] = [span / 2, (span - image) / 2];
    return {
      said: t`The print grows by ${decimal(growthMm(span, height, image).toFixed(2))} mm. It goes with the gap squared.`,
      lines: [
        [t`Print longer than stencil`, growthMm(span, height, image), "length"],
        [t`Push the mesh down, middle`, downforce(span, height, middle, tension), "push"],
        [t`Push it down, end of image`, downforce(span, height, end, tension), "push"],
        stiffness && [t`Tension added, middle`, stiffness * extraStrain(span, height, middle), "tension"],
        stiffness && [t`Tension added, end of image`, stiffness * extraStrain(span, height, end), "tension"],
      ],
    };
  },
  formula: [t`a point prints at x when s = L l₁ / (l₁ + l₂)`, "l₁ = √(x² + h²), l₂ = √((L − x)² + h²)"],
  limits: t`Exact geometry, no friction. A changed gap looks like a moved mesh: write it down with every tweak.`,
  source: t`Worked out from the triangle of mesh, squeegee and frame.`,
};

/** @type {Sum} */
const register = {
  title: t`Register of a set`,
  about: t`What can move two colours apart.`,
  asks: [
    { name: "image", label: t`Image length`, measure: "length", least: 10, most: 5000 },
    { name: "tolerance", label: t`Register tolerance`, measure: "length", least: 0.01, most: 20, start: 0.2 },
    { name: "change", label: t`Tension moved on by bolts`, measure: "tension", least: 0, most: 50, start: 0, hint: t`Creep at bars that stay moves the image hardly at all.` },
    { name: "stiffness", label: t`Stiffness of the mesh`, measure: "stiffness", least: 20, most: 100000, start: 1100 },
    { name: "span", label: t`Free mesh, bar to bar`, measure: "length", least: 50, most: 6000, from: ({ frame }) => frame?.inside_b_mm },
    { name: "gap", label: t`Gap of one colour`, measure: "length", least: 0, most: 50, start: 3 },
    { name: "other", label: t`Gap of the other`, measure: "length", least: 0, most: 50, start: 3 },
    { name: "sheet", label: t`Sheet grows between colours`, measure: "pct", least: -5, most: 5, signed: true, start: 0, hint: t`Coated paper: about 0.1 along, 0.15 to 0.35 across the grain.` },
    { name: "warmer", label: t`Warmer between colours by`, measure: "kelvin", least: -40, most: 60, signed: true, start: 0 },
    { name: "metal", label: t`Frame`, columns: 2, options: METALS, start: "aluminium" },
  ],
  answer({ image, tolerance, change, stiffness, span, gap: first, other, sheet, warmer, metal }) {
    if (image >= span) return { trouble: t`The image must be shorter than the free mesh.` };
    const moisture = (sheet / 100) * image;
    const terms = budget([
      { name: t`tension moved by bolts`, mm: byTension(change, stiffness, image) },
      { name: t`gap`, mm: byGap(span, image, first, other) },
      { name: t`sheet`, mm: moisture },
      { name: t`warmth of the frame`, mm: -GROWTH_PER_K[/** @type {"aluminium" | "steel"} */ (metal)] * warmer * image },
    ]);
    const likely = decimal(terms.likely.toFixed(2));
    return {
      said: terms.likely <= tolerance ? t`Likely ${likely} mm of ${tolerance} mm: within it.` : t`Likely ${likely} mm of ${tolerance} mm: ${terms.ranked[0].name} first.`,
      lines: [
        ...terms.ranked.map(({ name, mm }) => /** @type {[string, number, "length"]} */ ([name, mm, "length"])),
        [t`All together at worst`, terms.sum, "length"],
        moisture && [t`Scale the first colour’s film by`, decimal(filmScale(moisture, image).toFixed(5)), "plain"],
      ],
    };
  },
  formula: [t`tension: ΔT / stiffness × image`, t`gap: growth of one less growth of the other`, t`sheet: percent × image; warmth: 24 (steel 12) µm per metre and °C`, t`likely = √(sum of squares)`],
  limits: t`Bounds, one cause at a time over the whole image, not a forecast.`,
  source: t`Geometry, tension over stiffness, and the sheet’s growth as it is typed in.`,
};

export const PRESS_SUMS = { gap, register };
