"""Writes the demo shop at full size into a folder: `python -m demo_fixtures.generate.full FOLDER`.

`python manage.py load_demo --folder FOLDER` takes it in. It is the small shop with the same ids,
and 28 more frames, so that tables, charts and forecasts have something to hold. From a seed: the
same files on every run; they are too large to be kept beside the sources.
"""

import sys
from pathlib import Path
from typing import Any

from demo_fixtures.generate.__main__ import told
from demo_fixtures.generate.crowd import Crowd
from demo_fixtures.generate.crowd_shop import more_frames
from demo_fixtures.generate.life import Life
from demo_fixtures.generate.moments import DAY, NOW
from demo_fixtures.generate.stories import CONDITIONS, PLACES

RECENT_DAYS, SPREAD_LIMIT = 7, 3


def files() -> dict[str, str]:
    """File name → text."""
    crowd = Crowd()
    lives = {number: getattr(crowd, f"f{number}")() for number in CONDITIONS}
    lives |= {values["number"]: crowd.frame(values["number"]) for values in more_frames()}
    crowd.about_all()
    last = {number: said(screens[-1]) for number, screens in lives.items()}
    return told(crowd, lives, crowd.places | PLACES, last | CONDITIONS)


def said(life: Life) -> str:
    """What the shop would say of a screen by its last check; nothing where no mesh is on."""
    if life.facts["ended"] == "scrapped" or not life.last_check:
        return ""
    age_days = (NOW - life.checked_at) / DAY
    means = [(s["along_a_n_per_cm"] + s["across_a_n_per_cm"]) / 2 for s in _spots(life)]
    slack = life.mesh["tolerance_n_per_cm"]
    if age_days > RECENT_DAYS:
        return "unknown"
    if min(means) < life.target - slack:
        return "low"
    if max(means) > life.target + slack:
        return "high"
    return "uneven" if len(means) > 1 and max(means) - min(means) > SPREAD_LIMIT else "holding"


def _spots(life: Life) -> list[dict[str, Any]]:
    return life.last_check["payload"]["spots"]


if __name__ == "__main__":
    folder = Path(sys.argv[1])
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in files().items():
        (folder / name).write_text(text, encoding="utf-8")
