"""Follows the feed beside the server and derives what is due; may be killed at any moment.

It keeps nothing but its place in the feed, and begins with everything: what stands is known by its
fingerprint, so a restart costs reading and no writing. Several at once do each other no harm.
"""

import logging
import os
import time
from collections.abc import Callable

from django.db import DatabaseError, close_old_connections, connection

from frames import feed
from frames.derived import rounds

LOOK_EVERY_S = 1.0
AFTER_TROUBLE_S = 10.0
NICENESS = 10
log = logging.getLogger(__name__)


def watch(
    sleep: Callable[[float], None] = time.sleep, goes_on: Callable[[], bool] | None = None
) -> None:
    """Work until stopped, or until the process that started it is gone."""
    parent = os.getppid()
    os.nice(NICENESS)
    place: int | None = None
    while goes_on() if goes_on else os.getppid() == parent:
        try:
            place = look(place)
            sleep(LOOK_EVERY_S)
        except KeyboardInterrupt:
            return
        except DatabaseError:
            log.warning("The database was not to be had; deriving goes on soon.", exc_info=True)
            connection.close()
            sleep(AFTER_TROUBLE_S)
        except Exception:
            log.exception("A round of deriving broke off; the next begins with everything.")
            place = None
            sleep(AFTER_TROUBLE_S)


def look(place: int | None) -> int:
    """One look at the feed."""
    close_old_connections()
    head = feed.head().seq
    if place is not None and head == place:
        return place
    # after a restore the feed may stand before the place reached
    reached, _ = rounds.follow_up(place if place is not None and place <= head else None)
    return reached
