/** Off-contact, as `frames/mechanics/off_contact.py` has it: mm, N/cm. */

/** @param {number} span @param {number} gap @param {number} at */
const arms = (span, gap, at) => [Math.hypot(at, gap), Math.hypot(span - at, gap)];

/** @param {number} span @param {number} gap @param {number} at */
export function extraStrain(span, gap, at) {
  const [near, far] = arms(span, gap, at);
  return (near + far) / span - 1;
}

/** Force that only pushes the mesh down, N per cm of squeegee. @param {number} span @param {number} gap @param {number} at @param {number} tension */
export function downforce(span, gap, at, tension) {
  const [near, far] = arms(span, gap, at);
  return tension * (gap / Math.max(near, 1e-12) + gap / Math.max(far, 1e-12));
}

/** How far a point prints from its place at rest. @param {number} span @param {number} gap @param {number} printed */
export function shiftMm(span, gap, printed) {
  const [near, far] = arms(span, gap, printed);
  return printed - (span * near) / (near + far);
}

/** Printed length minus stencil length, image in the middle. @param {number} span @param {number} gap @param {number} image */
export function growthMm(span, gap, image) {
  return shiftMm(span, gap, (span + image) / 2) - shiftMm(span, gap, (span - image) / 2);
}
