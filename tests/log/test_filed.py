"""Under which job an entry is found: its subject, its payload, or what a correction puts in."""

from uuid import UUID

import pytest

from frames.intake import job_of
from tests.log.making import Maker, Raw

JOB = "019ab697-e800-7701-8381-e88f38c0c8fd"
OTHER = "019ab697-e800-778e-b311-d8a3c2ce6f44"


def entry(kind: str, payload: Raw, **about: object) -> Raw:
    return Maker(1).entry(kind, payload, **about)


CASES = [
    (entry("exposed", {"job": JOB, "colour": OTHER}), JOB),
    (entry("ok_sheet", {"signed": True}, subject={"kind": "job", "id": JOB}), JOB),
    (entry("note", {"note": ""}, subject={"kind": "press", "id": OTHER}), None),
    (entry("impressions", {"mode": "added", "count": 3, "job": None}), None),
    (entry("correction", {"corrects": OTHER, "payload": {"job": JOB}}), JOB),
    (entry("correction", {"corrects": OTHER, "payload": {"note": ""}}), None),
    (entry("foreseen", {"job": "the blue one"}), None),
    (entry("foreseen", {"job": [JOB]}), None),
    (entry("coated", {"note": ""}), None),
]


@pytest.mark.parametrize(("raw", "job"), CASES)
def test_the_job_of_an_entry(raw: Raw, job: str | None) -> None:
    assert job_of(raw) == (job and UUID(job))
