/** The mesh: how much tension a strain costs, as a stated range until the log has taught better. */
import { t } from "../../../shared/language.js";
import { cloth as numbers } from "../numbers.js";
import { number, oneOf } from "./faults.js";

/** Stiffness of straight threads, N/cm. @param {number} countPerCm @param {number} threadUm @param {number} modulusGpa */
const straightStiffness = (countPerCm, threadUm, modulusGpa) => countPerCm * ((Math.PI / 4) * (threadUm * 1e-4) ** 2) * modulusGpa * 1e5;

export class Mesh {
  /** @param {number} ex N/cm per unit strain along x @param {number} ey along y @param {number} [coupling] */
  constructor(ex, ey, coupling = numbers.Mesh.coupling) {
    const what = t`Enter the mesh stiffness in N/cm per unit strain`;
    number("ex_n_per_cm", ex, 20, 1e5, what);
    number("ey_n_per_cm", ey, 20, 1e5, what);
    number("coupling", coupling, 0, 0.5, t`Enter the coupling`);
    const k = 1 - coupling ** 2;
    const cross = (coupling * Math.sqrt(ex * ey)) / k;
    /** From strains (x, y) to tensions (x, y), N/cm. */
    this.stiffness = [[ex / k, cross], [cross, ey / k]];
  }

  /** With the middle of the range of its kind. @param {string} material @param {number} countPerCm @param {number} threadUm */
  static of(material, countPerCm, threadUm) {
    const kind = /** @type {keyof typeof numbers.CRIMP} */ (material);
    oneOf("material", material, Object.keys(numbers.MODULUS_GPA), t`Choose the material`);
    number("count_per_cm", countPerCm, 4, 260, t`Enter threads per cm`);
    number("thread_um", threadUm, 10, 600, t`Enter the thread diameter in micrometres`);
    const [low, high] = [0, 1].map((end) => numbers.CRIMP[kind][end] * straightStiffness(countPerCm, threadUm, numbers.MODULUS_GPA[kind][end]));
    const middle = (low + high) / 2;
    return new Mesh(middle, middle);
  }
}
