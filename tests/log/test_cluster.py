"""Workers that ask for a cluster at the same moment each get one."""

from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack
from threading import Barrier

import psycopg
import pytest

from tests.log.cluster import cluster, is_here

AT_ONCE = 2


@pytest.mark.skipif(not is_here(), reason="no PostgreSQL here")
def test_clusters_started_at_once_do_not_meet() -> None:
    """Each has a port of its own and lives while the others do."""
    ready = Barrier(AT_ONCE)
    with ExitStack() as stack, ThreadPoolExecutor(AT_ONCE) as pool:

        def start(_: int) -> str:
            ready.wait(60)
            return stack.enter_context(cluster("fsync=off"))

        addresses = list(pool.map(start, range(AT_ONCE)))
        systems = [_system(address) for address in addresses]
    assert len({address.rsplit(":", 1)[1] for address in addresses}) == AT_ONCE
    assert len(set(systems)) == AT_ONCE


def _system(address: str) -> int:
    """The number that a cluster got when it was made, and no other has."""
    with psycopg.connect(address) as link:
        return link.execute("select system_identifier from pg_control_system()").fetchone()[0]
