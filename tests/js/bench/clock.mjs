/** A phone's clock that stands still until it is moved, and may be set wrong. */
export function movedClock({ start = Date.UTC(2026, 4, 4, 8), zone = 60 } = {}) {
  let mono = 0;
  let wrong = 0;
  let count = 0;
  const timers = new Map();

  const due = (/** @type {number} */ end) =>
    [...timers.entries()].filter(([, { at }]) => at <= end).sort(([, a], [, b]) => a.at - b.at)[0];

  /** @param {[number, {at: number, run: () => any}]} timer */
  function fire([key, { at, run }]) {
    timers.delete(key);
    mono = Math.max(mono, at);
    return run();
  }

  return {
    now: () => start + mono + wrong,
    mono: () => mono,
    zone: () => zone,
    after(/** @type {number} */ ms, /** @type {() => any} */ run) {
      count += 1;
      const key = count;
      timers.set(key, { at: mono + ms, run });
      return () => timers.delete(key);
    },
    /** Somebody sets the phone's clock. */
    put(/** @type {number} */ ms) {
      wrong += ms;
    },
    /** Lets time pass; resolves when all that it set off is over. */
    async pass(/** @type {number} */ ms) {
      const end = mono + ms;
      for (let next = due(end); next; next = due(end)) await fire(next);
      mono = Math.max(mono, end);
    },
    /** Lets time pass and waits for nothing, as something may be hanging. */
    jump(/** @type {number} */ ms) {
      const end = mono + ms;
      for (let next = due(end); next; next = due(end)) fire(next);
      mono = Math.max(mono, end);
    },
    waiting: () => timers.size,
  };
}
