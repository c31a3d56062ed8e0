"""A database that is locked, full, away or may only be read, said as such instead of as a mistake
of the server."""

import logging
import sys

from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string
from django.views.defaults import server_error

from shopfloor.api import problems
from shopfloor.api.last_resort import PREFIX
from shopfloor.trouble import cannot_write, is_trouble

logger = logging.getLogger(__name__)


def failed(request: HttpRequest) -> HttpResponse:
    """What Django answers with when a view or a layer around it failed, as a session that is not
    kept."""
    error = sys.exc_info()[1]
    if not is_trouble(error):
        return server_error(request)
    logger.error("the database did not do its work", exc_info=error)
    problem = problems.of_the_database(error)
    if request.path_info.startswith(PREFIX):
        return problems.answer(request, problem)
    page = render_to_string("503.html", {"cannot_write": cannot_write(error)}, request)
    return HttpResponse(page, status=503, headers=problem.headers)
