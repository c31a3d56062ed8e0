/** What time does to the estimate of a screen that nobody turns. */
import { t } from "../../../shared/language.js";
import { faults, resting as numbers } from "../numbers.js";
import { number } from "./faults.js";

const { LONGEST_H } = faults;

/**
 * Tension falls with the logarithm of time; bars and turns stay.
 *
 * @param {import("./state.js").State} state @param {number} fromH hours since the last turn @param {number} toH
 * @param {number} [handled] how often it was washed, coated or reclaimed meanwhile
 */
export function afterRest(state, fromH, toH, handled = 0) {
  const start = number("from_h", fromH, 0, LONGEST_H, t`Enter the hours since the last turn`);
  const end = number("to_h", Math.max(toH, start), 0, LONGEST_H, t`Enter the hours since the last turn`);
  const folds = Math.log((end + numbers.SOON_H) / (start + numbers.SOON_H));
  const { basis, doubt } = state;
  const level = state.level(state.layout.grid(7));
  const mean = state.mean.slice();
  const covariance = state.covariance.copy();
  for (const axis of [0, 1]) {
    const first = axis * basis.size;
    mean[first] -= numbers.LOST * folds * level[axis];
    basis.waves.forEach(([j, k], i) => {
      const added = j + k > 0 ? (doubt.restless * folds * basis.sd[i]) ** 2 : 0;
      covariance.row(first + i)[first + i] += added;
    });
    covariance.row(first)[first] += (numbers.LOST_SD * folds * level[axis]) ** 2 + handled * numbers.HANDLED_SD ** 2;
  }
  return state.with({ mean, covariance });
}
