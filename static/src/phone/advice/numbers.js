// Written by `python -m tests.vectors.advice_numbers` from the library: change it there.

export const adjusters = {
  "Adjuster": {
    "plus": "plus",
    "minus": "minus",
    "division": "divisions",
    "smallest": 0.5,
    "backlash": 0.0,
    "order": 0,
    "most": 1000.0
  }
};

export const bolts = {
  "PER_TURN": 48,
  "STEPS": {
    "sixth": 8,
    "eighth": 6,
    "sixteenth": 3
  }
};

export const cautions = {
  "ALWAYS": [
    "The model knows the mesh only through its readings: turn, measure, ask again.",
    "Stretched mesh stores energy: wear glasses, keep your face clear, use a hand spanner.",
    "Stop at any creak or slip. Wear cut gloves with stainless mesh.",
    "The frame maker's instructions and local codes go first."
  ],
  "ON_PRESS": [
    "Before reaching into a press: stop, isolate, lock, prop, try start, by the shop's lock-out procedure (29 CFR 1910.147, ISO 14118 or the local rule).",
    "Afterwards: tools out, guards on, people clear."
  ]
};

export const cloth = {
  "MODULUS_GPA": {
    "polyester": [
      5.6,
      12.0
    ],
    "stainless": [
      185.0,
      200.0
    ],
    "other": [
      3.0,
      12.0
    ]
  },
  "CRIMP": {
    "polyester": [
      0.6,
      1.0
    ],
    "stainless": [
      0.6,
      1.0
    ],
    "other": [
      0.5,
      1.0
    ]
  },
  "Mesh": {
    "coupling": 0.05,
    "shear_n_per_cm": 10.0,
    "relative_sd": 0.25
  }
};

export const contact = {
  "GROUND_N_PER_MM": 1e-05,
  "FORCE_TOLERANCE": 1e-09,
  "LOOSE_MM": 0.01
};

export const corners = {
  "CORNERS": [
    "D/A",
    "A/B",
    "C/D",
    "B/C"
  ],
  "WAYS": [
    "along A",
    "across A"
  ],
  "EFFORT": 0.02
};

export const decomposition = {
  "NAMES": [
    "shift_x",
    "shift_y",
    "rotation",
    "stretch_x",
    "stretch_y",
    "skew"
  ],
  "WORDS": {
    "shift_x": "shift along A",
    "shift_y": "shift across A",
    "rotation": "twist",
    "stretch_x": "long or short along A",
    "stretch_y": "long or short across A",
    "skew": "out of square"
  },
  "PRIOR_MM": 3.0,
  "OPEN_SHARE": 0.1
};

export const faults = {
  "LONGEST_H": 10000000.0
};

export const layout = {
  "EDGE_CLEARANCE_MM": 80.0
};

export const limits = {
  "HARD_TURNS": 3.0,
  "Limits": {
    "turns": 2.0,
    "loosen_turns": 1.0,
    "neighbour_turns": 1.0,
    "cap_n_per_cm": null,
    "first_round": false
  }
};

export const marks = {
  "ALARM": 0.0001,
  "EYE_MM": {
    "loupe": 0.05,
    "naked": 0.1
  },
  "Mark": {
    "sd_mm": 0.05
  }
};

export const misfit = {
  "Roughness": {
    "shift": 2.0,
    "affine": 2.0,
    "local": 0.5,
    "local_mm": 0.08,
    "reach": 0.35
  }
};

export const register = {
  "ENOUGH": 0.5,
  "STRETCHES": [
    0.0,
    0.0,
    0.0,
    1.0,
    1.0,
    1.0
  ]
};

export const register_plan = {
  "WORSE": 1.1,
  "SLACK_MM": 0.01,
  "DIGITS": 6
};

export const register_program = {
  "UNREAD_N_PER_CM": 6.0,
  "NO_WORSE_N_PER_CM": 0.02,
  "RegisterAim": {
    "tolerance_mm": 0.1,
    "tension_change_n_per_cm": 3.0,
    "band_n_per_cm": null,
    "move_mm": 2.0,
    "between": 0.5,
    "bending": 0.003,
    "effort": 0.003,
    "factor": 1.0,
    "grid": 5
  }
};

export const resting = {
  "LOST": 0.008,
  "LOST_SD": 0.012,
  "SOON_H": 0.25,
  "HANDLED_SD": 0.4
};

export const rounding = {
  "NEAR": 1e-06,
  "DIGITS": 6
};

export const stand_out = {
  "MEASURED_MM": 0.2
};

export const state = {
  "Doubt": {
    "meter_n_per_cm": 0.4,
    "resolution_n_per_cm": 0.5,
    "wrench": 0.05,
    "factor": 0.25,
    "drift": 0.015,
    "drift_sd": 0.015,
    "model": 0.04,
    "restless": 0.02,
    "level": 0.003,
    "factor_walk": 0.005
  },
  "WIDEST": 30.0,
  "HIGHEST_N_PER_CM": 300.0,
  "DRIFT": [
    -0.1,
    0.3
  ],
  "FARTHEST_MM": 200.0
};

export const strip = {
  "QUADRATURE": 33
};

export const tension_plan = {
  "WORTH": 0.97
};

export const tension_program = {
  "SURE": 1.645,
  "UNKNOWN_N_PER_CM": 6.0,
  "Aim": {
    "tolerance_n_per_cm": 1.5,
    "bending": 0.02,
    "effort": 0.005,
    "between": 1.0
  }
};

export const under_cap = {
  "TRIES": 4,
  "SHARES": [
    0.75,
    0.5,
    0.25,
    0.0
  ],
  "NEAR_N_PER_CM": 1e-06
};

export const uneven = {
  "Unevenness": {
    "across": 6,
    "along": 3,
    "level_sd": 30.0,
    "slope_sd": 1.2,
    "along_sd": 0.25,
    "fall": 0.6
  }
};

export const answers = {
  "VERSION": 1,
  "WIDEST_BAND_N_PER_CM": 40.0,
  "TIE": 1e-09
};

export const outcomes = {
  "CELLS": 9,
  "GRID": 5
};

export const registering = {
  "KINDS": {
    "leave": "leave_alone",
    "press": "press",
    "bolts": "bolts",
    "cannot": "bolts_cannot"
  },
  "DEFAULT_TOLERANCE_MM": 0.1,
  "LEAST_MOVE_MM": 0.01,
  "FACTOR_RANGE": [
    0.1,
    3.0
  ],
  "OUT": "The screen must come out to reach all bolts; register will be lost."
};

export const setup = {
  "LEAST_LIMIT_48THS": 3,
  "BAR_EI_N_CM2": {
    "plain_u": 3000000.0,
    "ribbed_u": 6000000.0,
    "boxed_u": 12000000.0
  },
  "WITHOUT_STENCIL_MM": 2.0
};

export const tensioning = {
  "STENCIL_SHIFT_SD": 3.0,
  "STENCIL_ON": "Stencil on: small turns. The image moves; the stencil may crack."
};

export const wire = {
  "SCALE": 10000,
  "FIRST_LEVEL_N_PER_CM": 6.0,
  "NOTHING_LEARNED": {
    "bare": {
      "x": {
        "mean": 1.0,
        "sd": 0.25,
        "count": 0
      },
      "y": {
        "mean": 1.0,
        "sd": 0.25,
        "count": 0
      },
      "register": {
        "mean": 1.0,
        "sd": 0.25,
        "count": 0
      }
    },
    "coated": {
      "x": {
        "mean": 1.0,
        "sd": 0.25,
        "count": 0
      },
      "y": {
        "mean": 1.0,
        "sd": 0.25,
        "count": 0
      },
      "register": {
        "mean": 1.0,
        "sd": 0.25,
        "count": 0
      }
    }
  }
};
