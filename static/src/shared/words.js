/** What screens call the values of the log. One word per thing. */
import { t } from "./language.js";

export const PLACE = { near: t`near`, right: t`right`, far: t`far`, left: t`left` };

export const FACE = { squeegee: t`Squeegee side up`, print: t`Print side up` };

export const SEEN = {
  long_short: t`Long or short`,
  one_corner: t`One corner`,
  all_one_way: t`All one way`,
  skipped: t`Skip`,
};

export const CAUSE = {
  sheet: t`Sheet`,
  mesh: t`Mesh`,
  press: t`Press`,
  lays: t`Lays`,
  film: t`Film`,
  unknown: t`Not known`,
};

export const VERDICT = {
  in_register: t`In register`,
  better: t`Better`,
  no_change: t`No change`,
  worse: t`Worse`,
};

export const PURPOSE = {
  stretch: t`Stretch`,
  retension: t`Retension`,
  register: t`Register`,
  even_up: t`Even up`,
};

export const BOLT_STATE = { seized: t`Seized`, broken: t`Broken`, freed: t`Freed` };

/** What is said of a bolt, after its name. @type {Record<string, string>} */
export const BOLT_IS = { seized: t`seized`, broken: t`broken`, freed: t`freed` };

export const BURST_WHERE = {
  middle: t`Middle`,
  edge: t`Edge`,
  corner: t`Corner`,
  at_lock: t`At the lock`,
  unknown: t`Not known`,
};

export const MOVED_TO = {
  rack: t`Rack`,
  press: t`Press`,
  repair: t`Repair`,
  lost: t`Lost`,
  scrapped: t`Scrapped`,
};

export const STRETCH_STEP = {
  inspected: t`Frame looked over`,
  lock: t`Lock and rods`,
  piece: t`Piece of mesh`,
  pre_bow: t`Pre-bow`,
  locked: t`Mesh locked in`,
  corners: t`Corners eased`,
  rested: t`Rested`,
};

export const STENCIL = {
  bare: t`bare`,
  coated: t`coated`,
  exposed: t`exposed`,
  inspected: t`inspected`,
};

export const WARP = { x: t`Along A`, y: t`Across A`, unknown: t`Not known` };

/** @type {Record<string, string>} */
export const CONDITION = { holding: t`holding`, low: t`low`, high: t`high`, uneven: t`uneven`, due: t`due`, resting: t`resting`, unknown: t`unknown` };

export const SPOTS = { centre: t`Centre`, five: t`Five spots`, nine: t`Nine spots` };

/** The eight ways a mark can have printed off, as seen: right and away from the reader. */
export const WAYS = [
  { right: -1, away: 1, sign: "↖", name: t`away left` },
  { right: 0, away: 1, sign: "↑", name: t`away` },
  { right: 1, away: 1, sign: "↗", name: t`away right` },
  { right: -1, away: 0, sign: "←", name: t`left` },
  { right: 1, away: 0, sign: "→", name: t`right` },
  { right: -1, away: -1, sign: "↙", name: t`near left` },
  { right: 0, away: -1, sign: "↓", name: t`near` },
  { right: 1, away: -1, sign: "↘", name: t`near right` },
];
