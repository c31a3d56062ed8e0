/**
 * @typedef {"start"|"online"|"visible"|"hand"|"enqueue"|"timer"} Reason
 * @typedef {(wake: (reason: Reason) => void) => (() => void)} Online
 */

/**
 * What a page can notice that makes another try worth while. Nothing depends on it: browsers
 * say online when they are not, and iOS fires less than it should, so timers run as well.
 *
 * @param {Pick<Window, "addEventListener"|"removeEventListener">} window
 * @param {Pick<Document, "addEventListener"|"removeEventListener"|"visibilityState">} document
 * @returns {Online}
 */
export const wakes = (window, document) => (wake) => {
  const online = () => wake("online");
  const shown = () => {
    if (document.visibilityState === "visible") wake("visible");
  };
  window.addEventListener("online", online);
  window.addEventListener("pageshow", shown);
  document.addEventListener("visibilitychange", shown);
  return () => {
    window.removeEventListener("online", online);
    window.removeEventListener("pageshow", shown);
    document.removeEventListener("visibilitychange", shown);
  };
};
