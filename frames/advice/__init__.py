"""Advice: plain JSON in, one plain JSON answer out. The phone's twin takes and gives the same.

It maps things, state and entries to `frames.mechanics` and back and writes nothing. Bodies are
those of things, states and entries as they stand in the feed. A `BadInput` names field, value and
remedy.

What every request holds (a key left out counts as null; `estimate.py` needs frame and mesh alone):

    frame, mesh          bodies of the two things
    screen               body of the screen's state
    shop, press          bodies, or null
    frame_state          body of the frame's state, or null: which bolts are seized or broken
    estimate             body of the feed's kind "estimate" (see below), or null
    since                entries of this screen, effective and in fold order, after the check that
                         the estimate ends with (without an estimate: from the mesh fitted on), each
                         {id, kind, payload, occurred_at, clock_offset_ms}; null: the history is not
                         at hand, so totals and last bare check are taken from `screen`
    readings             spots read and not saved yet, like those of a tension_check, or null
    options              {purpose      "stretch" | "retension" | "register" | "even_up",
                          face, near   how the frame lies: "squeegee" | "print"; "A" to "D",
                          hidden       bolts out of reach; null: by the press's clamps,
                          override     reason for a tension plan with a stencil on, or null,
                          step_48ths, round_limit_48ths          null: the frame's, the shop's,
                          target_n_per_cm, tolerance_n_per_cm    null: the screen's,
                          first_round  true: end bolts stay; null: stretching with no turn so far,
                          where        "bench" | "press": which cautions go with it}

tension(request): turns towards an even target.

    {v: 1,
     status              "reaches" | "towards" | "leave" | "blocked" | "refused"
     message             in a printer's words
     bolts               [{bolt, turn_48ths}] in wrench order, none with 0
     predicted           [{u, v, along_a: {value, low, high} | null, across_a: the same}], N/cm:
                         readings after the round at the places last read, 9 of 10 within the band
     limits              [sentence] what shaped or held the plan
     read_next           {u, v} | null: the worst predicted place between readings
     rounds_left         to target, this one included; 0 with nothing to turn
     nip_first, loose    [bolt] to nip up before turning; expected loose after turning
     highest_n_per_cm    highest tension expected in the image (95 %), or null
     trusted, why        whether the count of turns is to be relied on; if not, the reason if known
     cautions            [sentence] to print beside the plan
     payload             of the `turn_plan` entry to save, or null with nothing to turn}

even_up(request): takes the turns given for register back, clean and dry, before degreasing. The
answer has the same form; its status is "even_up" or "leave".

corners(request): which end bolts to ease where a corner of a new mesh has climbed above the rest.

    {v: 1,
     status              "ease" | "leave" | "blocked"
     message             in a printer's words
     bolts               [{bolt, turn_48ths}] end bolts alone, all loosened
     tight               [{corner: "D/A" | "A/B" | "C/D" | "B/C", way: "along_a" | "across_a",
                          above_n_per_cm}] above the mean over the image
     read                whether readings are known; without any the answer is "blocked"
     trusted, cautions   as above}

register(request): what to do about marks. The request also holds

    pulls                1 to 5 pulls, each a list of {u, v, dx_mm, dy_mm} at the same places
    key_marks            the key colour's own marks against film or OK sheet, or []
    tolerance_mm         of the job; null: 0.1
    eye                  "loupe" | "naked"
    bolts_wanted         a point of the curve to take instead, or null

    {v: 1,
     answer              "leave_alone" | "press" | "bolts" | "bolts_cannot"
     message
     verdict             {word: "real" | "scatter" | "small", rms_mm, chance}
     parts               [{name, word, value, sd, unit: "mm" | "mm_per_m", known}]
     sheet               the same for the sheet, from the key colour, or null
     marks               [{u, v, dx_mm, dy_mm}] means of the pulls, the sheet's growth taken out
     arrows, image       [{u, v, dx_mm, dy_mm}] what the image will do, at the marks and on 5 x 5
     after               [{u, v, dx_mm, dy_mm}] what the marks should show then
     press               {steps: [sentence], limited: [name],
                          adjusters: [{name, divisions, unit, way}]} | null
     bolts               [{bolt, turn_48ths}]
     curve               [{bolts, marks_mm, image_mm}] miss against bolts moved, most first
     before_mm, after_mm rms at the marks before and after, or null without a plan for bolts
     tension_change      {low, high} N/cm over the image, or null
     predicted           as above: what the places last read should read then
     limits, loose, trusted, cautions     as above
     cost_n_per_cm       tension that "bolts_cannot" would cost, or null
     payload             as above; null unless the answer is "bolts"}

what_if(request): what given turns would do. The request also holds

    turns                [{bolt, turn_48ths}]
    model                "strip" | "membrane": the latter shows edges and corners, on a server

    {v: 1,
     predicted           as above
     map                 {u: [9], v: [9], along_a, across_a, change_along_a, change_across_a:
                          9 rows by v of 9 values by u, N/cm}
     moved               [{u, v, dx_mm, dy_mm}] of the image, 5 x 5
     loose, highest_n_per_cm, warnings, trusted, cautions}

estimate(request): the body that goes to phones, and back in as `estimate`.

    {v: 1, screen,
     seq, digest         place in the log up to which it knows the screen; fingerprint of its inputs
     after, at           id and time of the check it ends with; null before the first bare one,
                         and then so is everything down to `zero_mm`
     mean, sd, root      (60,) coefficients, their sd, and the rows of the lower triangle R, one
                         after another, in 1/10000: covariance = diag(sd) R R' diag(sd)
     bar_mm, draw_mm     (bolts,) in wrench order
     turned_at           time of the last round, or null
     rounds, caution, surprise     see `mechanics.State`; surprise is its message
     zero_mm             stand-out that counts as 0, or null
     trusted, why        false with the reason
     factors             {bare, coated}: {x, y, register}: {mean, sd, count}}

It is stale where an entry that sorts before `at` is unsent, has a higher seq than `seq`, or was
corrected or voided by one: then send the whole history, and of the estimate its factors alone
(the body with `mean` null).
"""

from frames.advice.easing import corners
from frames.advice.outcomes import what_if
from frames.advice.registering import register
from frames.advice.tensioning import even_up, tension
from frames.advice.wire import estimate

__all__ = ["corners", "estimate", "even_up", "register", "tension", "what_if"]
