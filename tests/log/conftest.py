"""What tests of the log share: steady property tests, and databases to be crowded.

Property tests find the same cases on every run; `HYPOTHESIS_PROFILE=explore` looks further.
"""

import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings

from tests.log.cluster import cluster, is_here
from tests.source_tree import ROOT

settings.register_profile("steady", deadline=None, derandomize=True, max_examples=60)
settings.register_profile("explore", deadline=None, max_examples=1000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "steady"))

Env = dict[str, str]


@pytest.fixture(scope="session")
def postgresql() -> Iterator[str]:
    """The address of a database in a PostgreSQL cluster that lives as long as the tests."""
    if not is_here():
        pytest.skip("no PostgreSQL here: apt-get install postgresql postgresql-common")
    with cluster("fsync=off") as address:
        yield address


@pytest.fixture
def sqlite(tmp_path: Path) -> str:
    return f"sqlite:///{tmp_path / 'crowd.sqlite3'}"


@pytest.fixture(params=["sqlite", "postgresql"])
def own_database(request: pytest.FixtureRequest, tmp_path: Path) -> Env:
    """The environment of processes that share one migrated, empty database of their own."""
    return migrated(request.getfixturevalue(request.param), tmp_path)


def migrated(address: str, data: Path) -> Env:
    """The environment of processes on this database, which is migrated and emptied first."""
    own = {"TAUTBOOK_DATA": str(data), "DATABASE_URL": address}
    env = {**os.environ, **own, "DJANGO_SETTINGS_MODULE": "shopfloor.settings"}
    for words in (["migrate", "--verbosity", "0"], ["flush", "--no-input"]):
        subprocess.run([sys.executable, "manage.py", *words], cwd=ROOT, env=env, check=True)
    return env
