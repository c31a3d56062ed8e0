"""Things, log and what must come of them, as files beside this folder."""

import json
from collections import Counter
from pathlib import Path
from typing import Any

from demo_fixtures.generate.life import Life
from demo_fixtures.generate.stories import CONDITIONS, PLACES, Stories

FOLDER = Path(__file__).parents[1]


def files() -> dict[str, str]:
    """File name → text."""
    stories = Stories()
    lives = {number: getattr(stories, f"f{number}")() for number in CONDITIONS}
    stories.about_all()
    return told(stories, lives, PLACES, CONDITIONS)


def told(
    stories: Stories,
    lives: dict[int, list[Life]],
    places: dict[int, str],
    conditions: dict[int, str],
) -> dict[str, str]:
    """The three files of a shop, and what it says itself about each frame and screen."""
    log = stories.notes.lines()
    kinds = Counter(line["entry"]["kind"] for line in log)
    expected = {
        "entries": len(log),
        "kinds": dict(sorted(kinds.items())),
        "frames": [
            {
                "number": number,
                "place": places[number],
                "condition": conditions[number],
                "screens": [life.account() for life in screens],
            }
            for number, screens in lives.items()
        ],
    }
    return {
        "things.json": _lines(stories.book.things),
        "log.jsonl": "".join(f"{json.dumps(line)}\n" for line in log),
        "expected.json": json.dumps(expected, indent=1) + "\n",
    }


def _lines(things: list[dict[str, Any]]) -> str:
    return "[\n" + ",\n".join(json.dumps(thing) for thing in things) + "\n]\n"


if __name__ == "__main__":
    for name, text in files().items():
        (FOLDER / name).write_text(text, encoding="utf-8")
