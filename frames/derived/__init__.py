"""What the mechanics makes of the log: estimates, lessons, forecasts. Kept in rows, told to phones.

A worker beside the server derives after new entries, outside the push. Rows are keyed by kind and
screen and carry the place in the log and a fingerprint of their inputs; they can be thrown away and
derived anew at any time.
"""

from frames.derived.asking import request
from frames.derived.checking import findings
from frames.derived.rounds import follow_up
from frames.derived.worker import watch

__all__ = ["findings", "follow_up", "request", "watch"]
