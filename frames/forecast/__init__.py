"""Tension in time: plain JSON in, plain JSON out; it maps the log to `frames.mechanics` and back.

tell(asked): the body of the feed's kind "forecast", reckoned from the last thing known on, so that
it stays the same until something new is known:

    {v: 1, screen, seq, digest
     turned_at           time of the last turn for tension
     after               id of the last check since then, or null
     segments            from how many it was learned what is usual in the shop
     impressions         since the last turn
     rest_limit_n_per_cm     a screen rests while 24 h cost more than this
     resting_until, coat_from, in_tolerance_until, retension_by
                         {at, early, late, reason}: expected time, and between which two it lies in
                         eight of ten cases; null: not within half a year (or see `reason`)
     impressions_left    the same in impressions from then on
     jumps               [{check, n_per_cm, lasting: true | false | null, causes: [word], message}]
     doubted             [{check, n_per_cm, message}]: read with a meter that was out by so much
     curve               [{at, mean, low, high}] N/cm over half a year without printing; 8 of 10
                         checks within the band}

ahead(asked, at_ms, impressions): expected mean tension and its 80 % band at a time, for sets.
"""

from frames.forecast.charting import chart, signals
from frames.forecast.history import pairs, repeats, segments
from frames.forecast.telling import ahead, tell
from frames.forecast.wire import about, noise, pooled, usual_body

__all__ = [
    "about",
    "ahead",
    "chart",
    "noise",
    "pairs",
    "pooled",
    "repeats",
    "segments",
    "signals",
    "tell",
    "usual_body",
]
