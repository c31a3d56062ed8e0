/** The frame of every page: what is remembered on top, the matter, main actions at the bottom. */
import { useLayoutEffect, useRef, useState } from "preact/hooks";

import { t } from "../../shared/language.js";
import { useApp } from "./app.js";
import { whereText } from "./where.js";
import { SyncLine } from "./sync_line.jsx";
import { Notice } from "./notice.jsx";

/** Home and card: all of the context, one tap to change it. */
function ContextHead() {
  const { context, things, router } = useApp();
  const { who, what } = whereText(context, things);
  return (
    <button type="button" class="context" onClick={() => router.go("context")}>
      <span class="context-who">{who}</span>
      <span class="context-what">{what}</span>
    </button>
  );
}

/** Forms: which frame, in letters large enough to notice the wrong one, and on what job. @param {any} props */
function FormHead({ title, sub }) {
  const { router } = useApp();
  return (
    <>
      <button type="button" class="back" onClick={() => router.back()} aria-label={t`Back`}>‹</button>
      <div class="form-head">
        <h1>{title}</h1>
        {sub && <p>{sub}</p>}
      </div>
    </>
  );
}

/** A foot that would hide half of the page, with enlarged text or a low screen, scrolls with it. */
const MOST_OF_SCREEN = 0.5;

/** @param {{children: any}} props */
function Bottom({ children }) {
  const place = useRef(/** @type {HTMLDivElement | null} */ (null));
  const [loose, setLoose] = useState(false);
  useLayoutEffect(() => {
    const box = place.current;
    if (!box) return;
    // Notices leave a loose foot; without them it must not become fast again, and so to and fro.
    const notices = () => /** @type {HTMLElement | null} */ (box.querySelector(".notices"))?.offsetHeight ?? 0;
    const high = () => box.offsetHeight + (box.classList.contains("is-loose") ? notices() : 0);
    const measure = () => setLoose(high() > window.innerHeight * MOST_OF_SCREEN);
    measure();
    const watch = new ResizeObserver(measure);
    watch.observe(box);
    window.addEventListener("resize", measure);
    return () => {
      watch.disconnect();
      window.removeEventListener("resize", measure);
    };
  }, []);
  return <div class={`bottom${loose ? " is-loose" : ""}`} ref={place}>{children}</div>;
}

/**
 * @param {object} props
 * @param {string} [props.title]  with a title: a form's head; without: the context
 * @param {string} [props.sub]
 * @param {import("preact").ComponentChildren} props.children
 * @param {import("preact").ComponentChildren} [props.foot]
 * @param {2 | 3} [props.columns]  of the foot
 * @param {import("preact").ComponentChildren} [props.pad]  keys that stay in reach above the foot
 * @param {string} [props.name]
 */
export function Page({ title, sub, children, foot, columns = 2, pad, name }) {
  return (
    <div class={`page page-${name ?? "plain"}`}>
      <header class="head">
        {title ? <FormHead title={title} sub={sub} /> : <ContextHead />}
        <SyncLine />
      </header>
      <main class="matter" id="matter" tabIndex={-1}>{children}</main>
      <Bottom>
        <Notice />
        {pad && <div class="pad">{pad}</div>}
        {foot && <footer class={`foot of-${columns}`}>{foot}</footer>}
      </Bottom>
    </div>
  );
}

/** @param {{onClick: () => void, children: any, go?: boolean, wide?: boolean, disabled?: boolean}} props */
export function Action({ onClick, children, go = false, wide = false, disabled = false }) {
  return (
    <button type="button" class={`action${go ? " go" : ""}${wide ? " wide" : ""}`} aria-disabled={disabled} onClick={() => !disabled && onClick()}>
      {children}
    </button>
  );
}

