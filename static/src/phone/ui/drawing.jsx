/** The frame drawing as wide as its place on the page, and the row a crowded side unfolds into. */
import { useLayoutEffect, useRef, useState } from "preact/hooks";

import { FrameDrawing, lieText } from "../../shared/drawing/frame.jsx";
import { layOut } from "../../shared/drawing/layout.js";
import { turnedOver, turnedQuarter } from "../../shared/drawing/lie.js";
import { numbersFit } from "../../shared/drawing/room.js";
import { BoltStrip } from "../../shared/drawing/strip.jsx";
import { t } from "../../shared/language.js";

const PAGE_PADDING = 32;

/** @returns {[import("preact").RefObject<HTMLDivElement | null>, number]} */
function useWidth() {
  const ref = useRef(/** @type {HTMLDivElement | null} */ (null));
  const [width, setWidth] = useState(Math.min(560, window.innerWidth) - PAGE_PADDING);
  useLayoutEffect(() => {
    const place = ref.current;
    if (!place) return;
    const measure = () => place.clientWidth && setWidth(place.clientWidth);
    measure();
    const watch = new ResizeObserver(measure);
    watch.observe(place);
    return () => watch.disconnect();
  }, []);
  return [ref, width];
}

/** @param {any} props those of FrameDrawing without a width; `caption` is told whether each turn stands in its bolt */
export function Drawing(props) {
  const [ref, width] = useWidth();
  const [open, setOpen] = useState(/** @type {string | null} */ (null));
  const { frame, view, touch, maxHeight, caption, turns = {} } = props;
  const layout = touch ? layOut(frame, view, { width, maxHeight, touch }) : null;
  const folded = layout?.sides.filter((side) => side.folded).map((side) => side.side) ?? [];
  const unfolded = folded.includes(/** @type {any} */ (open)) ? open : folded.find((side) => side === view.near) ?? folded[0];
  const plain = caption && layOut(frame, view, { width, maxHeight, turned: Object.keys(turns).length > 0 });
  return (
    <>
      <div class={`drawing${touch ? " is-touch" : ""}`} ref={ref}>
        <FrameDrawing {...props} width={width} onSide={setOpen} openSide={unfolded ?? null} />
        {layout && unfolded && <BoltStrip {...props} layout={layout} side={unfolded} step={frame.step_48ths} />}
      </div>
      {plain && <figcaption>{caption(numbersFit(plain, turns, frame.step_48ths))}</figcaption>}
    </>
  );
}

/** How the frame lies, in words, and two buttons to say that it lies otherwise. @param {any} props */
export function Lie({ view, onChange, open = false }) {
  const [changing, setChanging] = useState(open);
  return (
    <div class="lie">
      <button type="button" class="quiet" aria-expanded={changing} onClick={() => setChanging(!changing)}>
        {lieText(view)} <span class="link">{changing ? t`Close` : t`Change`}</span>
      </button>
      {changing && (
        <div class="pair">
          <button type="button" class="plain" onClick={() => onChange(turnedQuarter(view))}>{t`Turn a quarter`}</button>
          <button type="button" class="plain" onClick={() => onChange(turnedOver(view))}>{t`Turn over`}</button>
        </div>
      )}
    </div>
  );
}
