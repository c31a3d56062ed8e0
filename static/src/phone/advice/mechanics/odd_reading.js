/** Where a reading stands that does not fit the others, whoever looks from where. */
import { t } from "../../../shared/language.js";

// By thirds away from side A, then along it.
const ODD = [
  [
    t`Corner D/A does not fit the other readings: zero the meter, read it again.`,
    t`Midway along A does not fit the other readings: zero the meter, read it again.`,
    t`Corner A/B does not fit the other readings: zero the meter, read it again.`,
  ],
  [
    t`Midway along D does not fit the other readings: zero the meter, read it again.`,
    t`The middle does not fit the other readings: zero the meter, read it again.`,
    t`Midway along B does not fit the other readings: zero the meter, read it again.`,
  ],
  [
    t`Corner C/D does not fit the other readings: zero the meter, read it again.`,
    t`Midway along C does not fit the other readings: zero the meter, read it again.`,
    t`Corner B/C does not fit the other readings: zero the meter, read it again.`,
  ],
];

const third = (/** @type {number} */ part) => Math.min(2, Math.floor(3 * part));

/** @param {[number, number]} place along side A and away from it, each from 0 to 1 */
export const oddReading = ([u, v]) => ODD[third(v)][third(u)];
