/** A bolt of the frame: how far one turn moves the bar, and the smallest turn asked for. */
import { t } from "../../../shared/language.js";
import { bolts as numbers } from "../numbers.js";
import { InputFault, number } from "./faults.js";

export const PER_TURN = numbers.PER_TURN;

export class Bolt {
  /** @param {number} pitchMm travel per turn @param {number} step48ths */
  constructor(pitchMm, step48ths) {
    this.pitchMm = number("pitch_mm", pitchMm, 0.2, 5, t`Enter the travel of one turn in mm`);
    if (!Object.values(numbers.STEPS).includes(step48ths)) {
      throw new InputFault("step_48ths", step48ths, t`Choose 8 (sixth of a turn), 6 (eighth) or 3 (sixteenth).`);
    }
    /** Smallest turn, in turns. */
    this.stepTurns = step48ths / PER_TURN;
  }
}
