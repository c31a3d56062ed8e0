"""Files for running it for good: as systemd reads them, and as a container is built."""

import configparser
import re
import shutil
import subprocess
from pathlib import Path

import pytest

from tests.source_tree import ROOT

FOLDER = ROOT / "shopfloor/deploy"
SERVICES = ["tautbook.service", "tautbook-backup.service"]


def unit(name: str) -> configparser.ConfigParser:
    """A unit; where a key stands twice the last one counts, which is enough here."""
    read = configparser.ConfigParser(strict=False, interpolation=None)
    read.optionxform = str  # type: ignore[assignment]
    read.read(FOLDER / name, "utf-8")
    return read


@pytest.mark.parametrize("name", SERVICES)
def test_a_service_runs_as_nobody_and_writes_only_its_own_data(name: str) -> None:
    service = unit(name)["Service"]
    for key in ("DynamicUser", "NoNewPrivileges", "ProtectHome", "PrivateTmp", "PrivateDevices"):
        assert service[key] == "yes", key
    assert service["ProtectSystem"] == "strict"
    assert service["UMask"] == "0077"
    assert service["Environment"] == f"TAUTBOOK_DATA=/var/lib/{service['StateDirectory']}"


@pytest.mark.parametrize("name", SERVICES)
def test_a_service_calls_a_command_that_exists(name: str) -> None:
    command = unit(name)["Service"]["ExecStart"].split()
    assert command[0].endswith("/bin/tautbook")
    assert (ROOT / f"shopfloor/management/commands/{command[1]}.py").exists()


@pytest.mark.skipif(not shutil.which("systemd-analyze"), reason="no systemd-analyze here")
def test_systemd_itself_finds_no_fault(tmp_path: Path) -> None:
    for file in FOLDER.glob("tautbook*"):
        # systemd wants the program to be there
        text = file.read_text("utf-8").replace("/opt/tautbook/bin/tautbook", "/bin/true")
        (tmp_path / file.name).write_text(text)
    files = sorted(str(path) for path in tmp_path.iterdir())
    assert len(files) == 3
    done = subprocess.run(
        ["systemd-analyze", "verify", "--man=no", *files],
        capture_output=True,
        text=True,
        timeout=60,
    )
    said = [line for line in done.stderr.splitlines() if "tautbook" in line]
    assert (done.returncode, said) == (0, [])


def container() -> list[tuple[str, str]]:
    """Instruction and its words, line ends joined."""
    text = re.sub(r"\\\n\s*", "", (FOLDER / "Containerfile").read_text("utf-8"))
    lines = [line for line in text.splitlines() if line and not line.startswith("#")]
    return [(first, rest) for first, _, rest in (line.partition(" ") for line in lines)]


def test_the_container_takes_only_named_sources_and_runs_as_nobody() -> None:
    steps = container()
    copied = [w for k, words in steps if k == "COPY" and "--from" not in words
              for w in words.split()[:-1]]  # fmt: skip
    assert copied
    assert all((ROOT / name).exists() for name in copied)
    assert not {".", ".git", ".tautbook"} & set(copied)
    last_stage = steps[max(i for i, (k, _) in enumerate(steps) if k == "FROM") :]
    assert [words for k, words in last_stage if k == "USER"] == ["10001"]
    assert not [words for k, words in last_stage if k == "RUN" and "pip" in words]
    assert ("ENTRYPOINT", '["tautbook"]') in last_stage
    assert ("VOLUME", "/data") in last_stage


def test_what_the_container_copies_is_all_that_the_wheel_is_built_of(tmp_path: Path) -> None:
    """The build's own file names every part that the pack step adds."""
    words = " ".join(words for k, words in container() if k == "COPY")
    for part in ("templates", "demo_fixtures", "static/icons", "static/src", "static/build.mjs",
                 "static/package-lock.json", "static/.npmrc", "frames", "shopfloor"):  # fmt: skip
        assert part in words.split()
