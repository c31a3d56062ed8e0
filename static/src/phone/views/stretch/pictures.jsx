/** What a step shows on the frame as it lies: where to press, how the lock goes, where to ease. */
import { t } from "../../../shared/language.js";

/** @typedef {import("../../../shared/drawing/layout.js").Layout} Layout */

const INSET = 12;
const HEAD = 7;
/** The piece is drawn so much larger than the frame, across and up: outside its letters and numbers. */
const [OVER, UP] = [22, 14.5];

/** Ends of a side along the edge of the mesh, in counting order. @param {Layout} layout @param {string} side @returns {[number, number][]} */
function edge({ inner, sides, bolts }, side) {
  const place = sides.find((one) => one.side === side)?.place;
  const across = place === "near" || place === "far";
  const y = place === "near" ? inner.y + inner.h - INSET : inner.y + INSET;
  const x = place === "right" ? inner.x + inner.w - INSET : inner.x + INSET;
  const ends = /** @type {[number, number][]} */ (across ? [[inner.x + INSET, y], [inner.x + inner.w - INSET, y]] : [[x, inner.y + INSET], [x, inner.y + inner.h - INSET]]);
  const mine = bolts.filter((one) => one.side === side).sort((one, two) => one.number - two.number);
  const [first, last] = [mine[0], mine.at(-1)];
  const falls = first && last && (across ? first.x > last.x : first.y > last.y);
  return falls ? [ends[1], ends[0]] : ends;
}

/** A line with a head at its end. @param {{from: [number, number], to: [number, number]}} props */
function Arrow({ from: [x1, y1], to: [x2, y2] }) {
  const long = Math.hypot(x2 - x1, y2 - y1) || 1;
  const [ux, uy] = [(x2 - x1) / long, (y2 - y1) / long];
  const barb = (/** @type {1 | -1} */ turn) => `${x2 - HEAD * (ux - turn * 0.6 * uy)} ${y2 - HEAD * (uy + turn * 0.6 * ux)}`;
  return <path d={`M${x1} ${y1}L${x2} ${y2}M${barb(1)}L${x2} ${y2}L${barb(-1)}`} class="st-arrow" />;
}

/** How the lock goes along a side, and the sides that hold already. @param {{layout: Layout, side: string, way: string, locked: string[]}} props */
function Locking({ layout, side, way, locked }) {
  const [a, b] = edge(layout, side);
  const middle = /** @type {[number, number]} */ ([(a[0] + b[0]) / 2, (a[1] + b[1]) / 2]);
  return (
    <g>
      {locked.map((one) => {
        const [from, to] = edge(layout, one);
        return <path key={one} d={`M${from.join(" ")}L${to.join(" ")}`} class="st-locked" />;
      })}
      {way === "out" ? [<Arrow key="a" from={middle} to={a} />, <Arrow key="b" from={middle} to={b} />] : <Arrow from={a} to={b} />}
    </g>
  );
}

/** Corners of the mesh, from the near left one round. @param {Layout} layout @param {number} inset @returns {[number, number][]} */
const corners = ({ inner: { x, y, w, h } }, inset) => [[x + inset, y + h - inset], [x + w - inset, y + h - inset], [x + w - inset, y + inset], [x + inset, y + inset]];

/** Press here and there in turn. @param {{layout: Layout}} props */
function Rocking({ layout }) {
  const [a, b, c, d] = corners(layout, 20);
  return (
    <g>
      <path d={`M${a.join(" ")}L${c.join(" ")}`} class="st-dashed" />
      {[a, c].map(([x, y]) => <circle key={x} cx={x} cy={y} r="11" class="st-press" />)}
      {[b, d].map(([x, y]) => <circle key={x} cx={x} cy={y} r="11" class="st-dashed" />)}
    </g>
  );
}

/** The way the warp runs. @param {{layout: Layout, warp: string}} props */
function Warp({ layout, warp }) {
  const { inner: { x, y, w, h }, view } = layout;
  if (warp !== "x" && warp !== "y") return null;
  const level = (warp === "x") === (view.near === "A" || view.near === "C");
  const [cx, cy] = [x + w / 2, y + h / 2];
  const reach = Math.min(w, h) * 0.32;
  const ends = /** @type {[[number, number], [number, number]]} */ (level ? [[cx - reach, cy], [cx + reach, cy]] : [[cx, cy - reach], [cx, cy + reach]]);
  return (
    <g>
      <Arrow from={[cx, cy]} to={ends[0]} />
      <Arrow from={[cx, cy]} to={ends[1]} />
      <text x={cx + (level ? 0 : 10)} y={cy - (level ? 10 : 0)} class={`st-word${level ? " is-middle" : ""}`}>{t`warp`}</text>
    </g>
  );
}

/** The slack goes from the middle to all sides. @param {{layout: Layout}} props */
function Slack({ layout }) {
  const { inner: { x, y, w, h } } = layout;
  const [cx, cy] = [x + w / 2, y + h / 2];
  const to = /** @type {[number, number][]} */ ([[cx, y + INSET], [cx, y + h - INSET], [x + INSET, cy], [x + w - INSET, cy]]);
  return <g>{to.map((end) => <Arrow key={end.join()} from={[(cx + end[0]) / 2, (cy + end[1]) / 2]} to={end} />)}</g>;
}

/** How deep a bow is drawn; the true one could not be seen. */
const DEEP = 13;

/** The inner edges of the bars: ends further out than the middle. @param {{layout: Layout, bow: string}} props */
function Bowed({ layout, bow }) {
  const { inner: { x, y, w, h } } = layout;
  const [cx, cy, right, low] = [x + w / 2, y + h / 2, x + w, y + h];
  const bars = `M${x} ${y}Q${cx} ${y + 2 * DEEP} ${right} ${y}Q${right - 2 * DEEP} ${cy} ${right} ${low}Q${cx} ${low - 2 * DEEP} ${x} ${low}Q${x + 2 * DEEP} ${cy} ${x} ${y}`;
  return (
    <g>
      <path d={bars} class="st-bowed" />
      <path d={`M${cx} ${y}V${y + DEEP}M${cx} ${low}V${low - DEEP}`} class="st-gap" />
      <text x={cx} y={y + DEEP + 17} class="st-word is-middle">{bow}</text>
    </g>
  );
}

/** The piece lies over the frame and hangs out all round. @param {{layout: Layout}} props */
function Piece({ layout: { outer: { x, y, w, h } } }) {
  return <rect x={x - OVER} y={y - UP} width={w + 2 * OVER} height={h + 2 * UP} class="st-piece" />;
}

/** @param {{layout: Layout}} props */
const Corners = ({ layout }) => <g>{corners(layout, 16).map(([x, y]) => <circle key={`${x} ${y}`} cx={x} cy={y} r="13" class="st-press" />)}</g>;

/**
 * What a step shows over the mesh.
 * @param {import("./steps.js").Step} step @param {{locked: string[], warp: string, bow: string}} more  `bow`: how much further out the ends are
 * @returns {((layout: Layout) => any) | undefined}
 */
export function over(step, { locked, warp, bow }) {
  const { side, way } = step;
  if (side && way) return (layout) => <Locking layout={layout} side={side} way={way} locked={locked} />;
  /** @type {Record<string, (layout: Layout) => any>} */ const pictures = {
    inspected: (layout) => <Rocking layout={layout} />,
    piece: (layout) => <g><Piece layout={layout} /><Warp layout={layout} warp={warp} /></g>,
    pre_bow: (layout) => <Bowed layout={layout} bow={bow} />,
    slack: (layout) => <Slack layout={layout} />,
    corners: (layout) => <Corners layout={layout} />,
  };
  return pictures[step.name];
}

/** Two rods in the groove of the bar, mesh round them. */
const Rods = () => (
  <>
    <circle cx="74" cy="50" r="9" class="st-part" />
    <circle cx="98" cy="50" r="9" class="st-part" />
    <path d="M8 32H60C68 32 60 62 74 62C86 62 80 38 90 38C102 36 112 44 108 56" class="st-mesh" />
  </>
);

/** One tapered strip in the groove of the bar, mesh under it. */
const Strip = () => (
  <>
    <path d="M72 34H100L104 62H68Z" class="st-part" />
    <path d="M8 32H58C66 32 62 66 70 66H102C110 66 106 40 114 34" class="st-mesh" />
  </>
);

/** The bar cut through, with its lock. @param {{lock: string}} props */
export function LockPicture({ lock }) {
  const name = lock === "wedge_strip" ? t`One tapered strip, wide face down, mesh under it` : t`Two rods side by side, level, mesh round both`;
  return (
    <svg class="st-lock" viewBox="0 0 240 92" role="img" aria-label={t`The bar cut through. ${name}.`}>
      <path d="M56 30H62L58 70H114L110 30H128V82H46V30Z" class="st-bar" />
      {lock === "wedge_strip" ? <Strip /> : <Rods />}
      <path d="M132 56H168M160 50L168 56L160 62" class="st-arrow" />
      <text x="134" y="46" class="st-word">{t`to the bolts`}</text>
      <text x="8" y="26" class="st-word">{t`mesh`}</text>
      <text x="87" y="24" class="st-word is-middle">{lock === "wedge_strip" ? t`strip` : t`two rods`}</text>
      <text x="40" y="79" class="st-word is-end">{t`bar`}</text>
    </svg>
  );
}
