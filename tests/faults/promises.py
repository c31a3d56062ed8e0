"""What must be true of a shop at rest, whatever was done to it."""

from collections import Counter

from tests.faults.shop import replayed, rows, state, stored
from tests.faults.simulator import World


def all_kept(world: World) -> None:
    nothing_lost(world)
    nothing_doubled(world)
    only_poison_is_refused(world)
    everybody_agrees(world)
    the_office_sees_no_gap(world)


def nothing_lost(world: World) -> None:
    """What a phone once showed as saved is in the log, as it was saved."""
    log = {entry["id"]: entry for entry in stored(world.shop, *world.phones)}
    for id, entry in world.saved.items():
        if id not in world.poison | world.excused:
            assert id in log, f"lost: {entry['kind']} number {entry['device_seq']}"
            assert log[id] == entry


def nothing_doubled(world: World) -> None:
    log = stored(world.shop, *world.phones)
    numbers = Counter((entry["install_id"], entry["device_seq"]) for entry in log)
    assert set(numbers.values()) <= {1}


def only_poison_is_refused(world: World) -> None:
    """One bad entry stops no other, and stays visible on its phone with its reason."""
    lines = [line for phone in world.phones for line in phone.ask("outbox", name="one")]
    assert {line["state"] for line in lines} <= {"refused"}
    # A save that died half way may have left one that the test was never told of.
    assert world.poison <= {line["entry"]["id"] for line in lines}
    assert all(line["entry"]["kind"] == "" and line["problem"]["title"] for line in lines)


def everybody_agrees(world: World) -> None:
    """State on the server == a replay of its log == what every phone shows."""
    kept = state(world.shop)
    assert kept == replayed(world.shop)
    for phone in world.phones:
        for frame in (frame.id for frame in world.frames):
            shown = phone.ask("view", name="one", frame=frame)
            if shown["entries"]:
                assert shown["frame"] == kept["frames"][frame]
            for screen, body in shown["screens"].items():
                # Of meshes that are gone a phone may hold a part of the log only.
                if not body["ended"]:
                    assert body == kept["screens"][screen]
        meters = {body["meter"]: body for body in phone.ask("states", name="one", kind="meter")}
        assert meters == kept["meters"]


def the_office_sees_no_gap(world: World) -> None:
    """The numbering of each phone is whole but for what was refused."""
    found = rows(world.shop.data, "select install_id, highest, stored from frames_installstate")
    known = {install: (highest, count) for install, highest, count in found}
    for phone in world.phones:
        install = phone.ask("exported", name="one")["install_id"]
        log = [one for one in stored(world.shop, phone) if one["install_id"] == install]
        if log:
            highest = max(entry["device_seq"] for entry in log)
            assert known[install.replace("-", "")] == (highest, len(log))
            refused = len(phone.ask("outbox", name="one"))
            assert highest - len(log) <= refused
