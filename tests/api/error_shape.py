"""The one error body of the API (RFC 9457, section 3, and our list of fields):

{"type": "/problems/…", "title": "…", "status": 422, "detail": "…",
 "errors": [{"field": "…", "value": …, "remedy": "…"}]}
"""

from typing import Any


def assert_problem(response: Any, status: int, word: str) -> dict[str, Any]:
    """The answer is this problem, in the one shape; gives the body for a closer look."""
    assert response.status_code == status, response.content
    assert response["Content-Type"] == "application/problem+json"
    assert response["Cache-Control"] == "no-store"
    body = response.json()
    assert list(body) == ["type", "title", "status", "detail", "errors"]
    assert body["type"] == f"/problems/{word}"
    assert body["status"] == status
    for text in (body["title"], body["detail"]):
        assert text[0].isupper() or text[0] == "`"
    for fault in body["errors"]:
        assert list(fault) == ["field", "value", "remedy"]
        assert fault["field"]
        assert fault["remedy"].endswith(".")
    return body
