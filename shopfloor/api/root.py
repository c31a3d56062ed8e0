"""The API itself: its operations, and how each error becomes the one error body."""

import logging
from typing import Any

from django.db import DatabaseError
from django.http import HttpRequest, HttpResponse
from ninja import NinjaAPI, Swagger
from ninja.errors import HttpError, ValidationError, ValidationErrorContext

from frames.errors import BadInput
from shopfloor.api import advice, enrol, history, snapshot, sync
from shopfloor.api.access import APP_HEADER
from shopfloor.api.bodies import Body
from shopfloor.api.problems import (
    CONTENT_TYPE,
    ProblemError,
    ProblemOut,
    answer,
    bad_input,
    invalid,
    of_the_database,
    unreadable,
)
from shopfloor.api.remedies import to_problem
from shopfloor.auth import who_may
from shopfloor.trouble import is_trouble

logger = logging.getLogger(__name__)

ABOUT = f"""How phones send what they recorded and learn what changed.

A phone is known by its cookie, handed out when a manager approves it. Every request carries the
header `{APP_HEADER}: 1`. Every error answers with one body, problem details as in RFC 9457."""


class TautbookAPI(NinjaAPI):
    def validation_error_from_error_contexts(
        self, error_contexts: list[ValidationErrorContext]
    ) -> ValidationError:
        """Keeps the values, which the person who has to mend them wants to see."""
        return ValidationError(
            [
                {"problem": to_problem(found)}
                for context in error_contexts
                for found in context.pydantic_validation_error.errors(include_url=False)
            ]
        )

    def get_openapi_schema(self, **kwargs: Any) -> dict[str, Any]:
        schema = super().get_openapi_schema(**kwargs)
        _describe_errors(schema)
        return schema


def _describe_errors(schema: dict[str, Any]) -> None:
    """What holds for every operation is said once here instead of beside each of them."""
    shape = ProblemOut.model_json_schema(ref_template="#/components/schemas/{model}")
    parts = schema["components"]["schemas"]
    parts |= shape.pop("$defs")
    parts["ProblemOut"] = shape
    content = {CONTENT_TYPE: {"schema": {"$ref": "#/components/schemas/ProblemOut"}}}
    header = {"in": "header", "name": APP_HEADER, "required": True, "schema": {"const": "1"}}
    for methods in schema["paths"].values():
        for operation in methods.values():
            operation["responses"]["default"] = {"description": "Any error", "content": content}
            operation["parameters"].append(header)


api = TautbookAPI(
    title="Tautbook",
    version="1",
    description=ABOUT,
    parser=Body(),
    # without this the page would ask a public service to judge the description
    docs=Swagger(settings={"validatorUrl": None}),
    docs_decorator=who_may("anybody"),
    urls_namespace="api",
)
api.add_router("sync/", sync.router)
api.add_router("sync/", snapshot.router)
api.add_router("frames/", history.router)
api.add_router("advice/", advice.router)
api.add_router("", enrol.router)


@api.exception_handler(ProblemError)
def on_problem(request: HttpRequest, error: ProblemError) -> HttpResponse:
    return answer(request, error)


@api.exception_handler(BadInput)
def on_bad_input(request: HttpRequest, error: BadInput) -> HttpResponse:
    return answer(request, bad_input(error))


@api.exception_handler(ValidationError)
def on_invalid(request: HttpRequest, error: ValidationError) -> HttpResponse:
    return answer(request, invalid([one["problem"] for one in error.errors]))


@api.exception_handler(HttpError)
def on_http_error(request: HttpRequest, error: HttpError) -> HttpResponse:
    """The library wraps whatever the body parser raises, so ours is found underneath."""
    cause = error.__cause__
    return answer(request, cause if isinstance(cause, ProblemError) else unreadable(f"{error}."))


@api.exception_handler(DatabaseError)
def on_trouble(request: HttpRequest, error: DatabaseError) -> HttpResponse:
    if not is_trouble(error):
        raise error
    logger.error("the database did not do its work", exc_info=error)
    return answer(request, of_the_database(error))
