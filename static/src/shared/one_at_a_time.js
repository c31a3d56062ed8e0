/**
 * Lets work run one at a time: however many ask while it runs, it runs once more when it is over,
 * so that the last to be read is never older than what was asked for.
 *
 * @param {() => Promise<any>} work never rejects
 * @returns {() => Promise<void>}
 */
export function oneAtATime(work) {
  let running = false;
  let wanted = false;
  return async function ask() {
    wanted = true;
    if (running) return;
    running = true;
    while (wanted) {
      wanted = false;
      await work();
    }
    running = false;
  };
}
