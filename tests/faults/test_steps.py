"""Storage goes wrong at step k of syncing, for every k, with the real server at the other end.

`python -m pytest tests/faults/test_steps.py --every 1` takes every step; without it every seventh
is taken, of long stories every 28th, and each way begins at another one.
"""

import shutil
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from tests.faults.conftest import PhoneMaker
from tests.faults.phones import Phone
from tests.faults.quick_shop import QuickShop
from tests.faults.shop import Json, ids, stored
from tests.shop_process import ShopProcess

WAYS = ["dies", "fails", "breaks", "full", "silent"]
LEAST_STEPS = 20


@pytest.fixture
def one_shop(furnished: tuple[Path, Json], tmp_path: Path) -> Iterator[ShopProcess]:
    """A server with quick ways to run a few lines on its data; the log is short in each test, since
    what is fetched anew takes a step for each part of it."""
    data = tmp_path / "data"
    shutil.copytree(furnished[0], data)
    shop = QuickShop(data)
    yield shop.start()
    shop.close()


@dataclass
class Scene:
    """Two phones of one shop: what the second one does is what goes wrong."""

    shop: ShopProcess
    phones: PhoneMaker
    frame: str
    frames: int
    saved: list[Json] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.writer = self.online()
        self.phone = self.online()

    def online(self) -> Phone:
        phone = self.phones()
        phone.network("good")
        phone.kick()
        return phone

    # Stories: what is to be done by the round in which storage goes wrong.

    def entries_are_sent(self) -> None:
        self.phone.network("down")
        self.saved += [self.phone.save(frame=self.frame) for _ in range(2)]
        self.phone.network("good")

    def changes_are_fetched(self) -> None:
        self.saved += [self.writer.save(frame=self.frame) for _ in range(2)]

    def everything_is_fetched_anew(self) -> None:
        self.saved.append(self.writer.save(frame=self.frame))
        self.phone = self.phones()
        self.phone.network("good")

    def the_server_was_restored(self) -> None:
        if not self.saved:
            self.saved += [one.save(frame=self.frame) for one in (self.phone, self.writer)]
        self.shop.python("from frames import feed\nfeed.new_epoch()\n")

    def is_whole(self, step: int) -> None:
        """Everything is in the log once and on this phone, and nothing waits."""
        assert self.phone.states() == [], f"step {step}"
        log = [one for one in stored(self.shop, self.writer, self.phone) if one in self.saved]
        assert sorted(ids(log)) == sorted(ids(self.saved)), f"step {step}"
        held = self.phone.ask("entries", name="one", frame=self.frame)
        assert set(ids(held)) >= set(ids(self.saved)), f"step {step}"
        assert len(self.phone.ask("things", name="one", kind="frame")) == self.frames


STORIES = [
    Scene.entries_are_sent,
    Scene.changes_are_fetched,
    Scene.everything_is_fetched_anew,
    Scene.the_server_was_restored,
]
LONG = STORIES[2:]


def goes_wrong_at(scene: Scene, way: str, step: int) -> bool:
    """Whether the story came as far as that step."""
    phone = scene.phone
    phone.ask("failAt", name="one", step=step, way=way)
    done = phone.kick()
    phone.passes(1)  # what need not be waited for may be written after the round
    if done == "died" or not phone.ask("isOpen", name="one"):
        phone.open()
        phone.kick()
        return True
    reached = len(phone.ask("steps", name="one")) >= step
    phone.ask("failAt", name="one", way=way)
    # The page is still open, and goes on by itself.
    for _ in range(30):
        phone.passes(400)
        if phone.status()["state"] == "idle":
            break
    scene.is_whole(step)
    phone.restart()
    phone.kick()
    return reached


@pytest.mark.promise(1, 2, 3)
@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("story", STORIES, ids=lambda story: story.__name__)
def test_f7_storage_goes_wrong_at_every_step_of(
    story: object,
    way: str,
    phones: PhoneMaker,
    shop: ShopProcess,
    book: Json,
    request: pytest.FixtureRequest,
) -> None:
    scene = Scene(shop, phones, book["frames"][0], len(book["frames"]))
    every = request.config.getoption("--every")
    every *= 4 if every > 1 and story in LONG else 1
    for step in range(1 + WAYS.index(way) % every, 600, every):
        story(scene)
        reached = goes_wrong_at(scene, way, step)
        scene.is_whole(step)
        if not reached:
            assert step > LEAST_STEPS, "storage was hardly used: is it being watched?"
            return
    pytest.fail("the story never came to an end")
