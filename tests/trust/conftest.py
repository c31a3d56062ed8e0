"""Fixtures of the trust tests: the shop, server and phones of the fault tests, and a desk."""

from tests.faults.conftest import (  # noqa: F401 (fixtures are found by their names here)
    book,
    furnished,
    host,
    one_shop,
    phones,
    shop,
)
from tests.log.conftest import postgresql  # noqa: F401
