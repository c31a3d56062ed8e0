"""What is derived: a name, the inputs, and a pure function from inputs to body.

Another kind is another line in `DERIVATIONS`. Inputs are plain JSON and hold everything that the
body depends on: their fingerprint decides whether anything is derived anew.
"""

import hashlib
import json
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from django.utils.translation import get_language

from frames import forecast
from frames.derived import estimates, forecasts, lessons
from frames.derived.sources import Json, Screen
from frames.models import Derived

CODE = ("mechanics/*.py", "advice/*.py", "derived/*.py", "forecast/*.py", "forecast.py")


@dataclass(frozen=True)
class Derivation:
    """`kind` names it in the table and in the feed.

    `inputs` is given the screen and the body that stands (None if none does), and answers None
    where nothing is to be derived. `derive` has no clock and no database. `seq` must not be among
    the inputs: a body names it by the key "seq", which is put in afterwards.
    """

    kind: str
    inputs: Callable[[Screen, Json | None], Json | None]
    derive: Callable[[Json], Json]

    @property
    def is_told(self) -> bool:
        """Whether phones get it by the feed."""
        return self.kind in Derived.TOLD

    def body(self, screen: Screen, inputs: Json) -> Json:
        about = {"screen": screen.id, "frame": str(screen.frame["id"])}
        return {**self.derive(inputs), **about, "seq": screen.seq, "digest": fingerprint(inputs)}


def fingerprint(inputs: Json) -> str:
    """Of inputs, language and code: after an update everything is derived anew by itself."""
    text = json.dumps(inputs, sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(f"{code()} {get_language()} {text}".encode()).hexdigest()[:16]


@cache
def code() -> str:
    """Fingerprint of the modules that bodies come from."""
    own = Path(__file__).resolve().parents[1]
    found = hashlib.sha256()
    for path in sorted(path for name in CODE for path in own.glob(name)):
        found.update(path.read_bytes())
    return found.hexdigest()


# in this order: estimates take up what screens have taught, forecasts what is usual in the shop
DERIVATIONS: tuple[Derivation, ...] = (
    Derivation("lessons", lessons.inputs, lessons.derive),
    Derivation("estimate", estimates.inputs, estimates.derive),
    Derivation("relaxing", forecasts.log_of, forecasts.cut),
    Derivation("usual", forecasts.usual, forecasts.as_it_is),
    Derivation("forecast", forecasts.asked, forecast.tell),
    Derivation("chart", forecasts.charted, forecast.chart),
)
