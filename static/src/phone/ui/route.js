/**
 * Where the reader is: `/` home, `/f/CODE` a frame's card, `/e#TOKEN` enrolment; what is open
 * there stands in the fragment (`/f/F0417-N#check`, `/#outbox`), so back and reload keep it.
 *
 * @typedef {{name: string, code: string | null, arg: string | null}} Route
 * @typedef {{code?: string | null, arg?: string | null}} Where
 */
const LABEL = /^\/f\/([^/]+)\/?$/i;

/** @param {{pathname: string, hash: string}} location @returns {Route} */
export function readRoute({ pathname, hash }) {
  const fragment = hash.replace(/^#/, "");
  if (/^\/e\/?$/i.test(pathname)) return { name: "enrol", code: null, arg: fragment || null };
  const label = LABEL.exec(pathname);
  const code = label ? decodeURIComponent(label[1]) : null;
  const [name, arg] = fragment.split("/");
  return { name: name || (code ? "card" : "home"), code, arg: arg ? decodeURIComponent(arg) : null };
}

/** @param {Route} route @returns {string} the address that reads back as this route */
export function routeAddress({ name, code, arg }) {
  const path = code ? `/f/${encodeURIComponent(code)}` : "/";
  const plain = name === (code ? "card" : "home") && !arg;
  return plain ? path : `${path}#${name}${arg ? `/${encodeURIComponent(arg)}` : ""}`;
}

const same = (/** @type {Route} */ one, /** @type {Route} */ two) => routeAddress(one) === routeAddress(two);

/**
 * @param {Pick<Window, "history" | "location" | "addEventListener">} page
 * @param {(route: Route) => void} changed
 */
export function createRouter(page, changed) {
  /** Routes of this visit, mirrored by the browser's history. @type {Route[]} */
  let trail = [readRoute(page.location)];
  let at = 0;
  page.history.replaceState({ at }, "");

  page.addEventListener("popstate", (event) => {
    const to = /** @type {PopStateEvent} */ (event).state?.at;
    at = Number.isInteger(to) ? to : 0;
    trail[at] = readRoute(page.location);
    changed(trail[at]);
  });

  /** @param {Route} route @param {"pushState" | "replaceState"} how */
  function show(route, how) {
    if (how === "pushState") at += 1;
    trail = [...trail.slice(0, at), route];
    page.history[how]({ at }, "", routeAddress(route));
    changed(route);
  }

  return {
    route: () => trail[at],
    /** @param {string} name @param {Where} [where] */
    go(name, { code = null, arg = null } = {}) {
      const route = { name, code, arg };
      show(route, same(route, trail[at]) ? "replaceState" : "pushState");
    },
    /** Takes the place of what is open now: there is no way back to it. @param {string} name @param {Where} [where] */
    swap(name, { code = null, arg = null } = {}) {
      show({ name, code, arg }, "replaceState");
    },
    back() {
      if (at > 0) page.history.back();
      else show({ name: "home", code: null, arg: null }, "replaceState");
    },
    /** Back to a route on the trail; where it is not on it, in place of what is open now. @param {string} name @param {Where} [where] */
    backTo(name, { code = null } = {}) {
      const route = { name, code, arg: null };
      const found = trail.slice(0, at).findLastIndex((one) => one && same(one, route));
      if (found < 0) show(route, "replaceState");
      else page.history.go(found - at);
    },
  };
}
