/** What screens call the values of the log. One word per thing. */

export const FACE = { squeegee: "Squeegee side up", print: "Print side up" };

export const SEEN = {
  long_short: "Long or short",
  one_corner: "One corner",
  all_one_way: "All one way",
  skipped: "Skip",
};

export const CAUSE = {
  sheet: "Sheet",
  mesh: "Mesh",
  press: "Press",
  lays: "Lays",
  film: "Film",
  unknown: "Not known",
};

export const VERDICT = {
  in_register: "In register",
  better: "Better",
  no_change: "No change",
  worse: "Worse",
};

export const PURPOSE = {
  stretch: "Stretch",
  retension: "Retension",
  register: "Register",
  even_up: "Even up",
};

export const BOLT_STATE = { seized: "Seized", broken: "Broken", freed: "Freed" };

export const BURST_WHERE = {
  middle: "Middle",
  edge: "Edge",
  corner: "Corner",
  at_lock: "At the lock",
  unknown: "Not known",
};

export const MOVED_TO = {
  rack: "Rack",
  press: "Press",
  repair: "Repair",
  lost: "Lost",
  scrapped: "Scrapped",
};

export const STRETCH_STEP = {
  inspected: "Frame looked over",
  lock: "Lock and rods",
  piece: "Piece of mesh",
  pre_bow: "Pre-bow",
  locked: "Mesh locked in",
  corners: "Corners eased",
  rested: "Rested",
};

export const STENCIL = {
  bare: "bare",
  coated: "coated",
  exposed: "exposed",
  inspected: "inspected",
};

export const WARP = { x: "Along A", y: "Across A", unknown: "Not known" };

export const SPOTS = { centre: "Centre", five: "Five spots", nine: "Nine spots" };

/** The eight ways a mark can have printed off, as seen: right and away from the reader. */
export const WAYS = [
  { right: -1, away: 1, sign: "↖", name: "away left" },
  { right: 0, away: 1, sign: "↑", name: "away" },
  { right: 1, away: 1, sign: "↗", name: "away right" },
  { right: -1, away: 0, sign: "←", name: "left" },
  { right: 1, away: 0, sign: "→", name: "right" },
  { right: -1, away: -1, sign: "↙", name: "near left" },
  { right: 0, away: -1, sign: "↓", name: "near" },
  { right: 1, away: -1, sign: "↘", name: "near right" },
];
