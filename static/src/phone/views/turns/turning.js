/** Turns being tapped in, as one value that taps change. Pure. */
const LONGEST = 480;

/**
 * @typedef {{turns: Record<string, number>, sign: 1 | -1, taps: {bolts: string[], turn: number}[]}} Turning
 * @returns {Turning}
 */
export const noTurns = () => ({ turns: {}, sign: 1, taps: [] });

/** @param {{bolt: string, turn_48ths: number}[]} bolts @returns {Turning} */
export const turnsFrom = (bolts) => ({ ...noTurns(), turns: Object.fromEntries(bolts.map((one) => [one.bolt, one.turn_48ths])) });

/** @param {Turning} turning @param {string[]} bolts @param {number} turn 48ths @returns {Turning} */
export function turned(turning, bolts, turn) {
  const turns = { ...turning.turns };
  for (const bolt of bolts) {
    const sum = (turns[bolt] ?? 0) + turn;
    if (Math.abs(sum) > LONGEST) return turning;
    if (sum === 0) delete turns[bolt];
    else turns[bolt] = sum;
  }
  return { ...turning, turns, taps: [...turning.taps, { bolts, turn }] };
}

/** The last tap taken back. @param {Turning} turning @returns {Turning} */
export function tapBack(turning) {
  const last = turning.taps.at(-1);
  if (!last) return turning;
  const back = turned(turning, last.bolts, -last.turn);
  return { ...back, taps: turning.taps.slice(0, -1) };
}

/** As the log wants them. @param {Turning} turning */
export const boltList = ({ turns }) =>
  Object.entries(turns)
    .map(([bolt, turn_48ths]) => ({ bolt, turn_48ths }))
    .sort((one, two) => one.bolt.localeCompare(two.bolt, "en", { numeric: true }));
