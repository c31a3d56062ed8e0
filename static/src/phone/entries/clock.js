/**
 * The device's own clock. Everything below takes a clock as a parameter, so that tests can
 * set it wrong.
 *
 * @returns {import("./types.js").Clock}
 */
export function systemClock() {
  return {
    now: () => Date.now(),
    mono: () => performance.now(),
    zone: (ms) => -new Date(ms).getTimezoneOffset(),
    after: (ms, run) => {
      const timer = setTimeout(run, ms);
      return () => clearTimeout(timer);
    },
  };
}
