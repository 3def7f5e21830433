"""When the database does not take a write: 503 in words, no trace, and a second try is safe."""

from __future__ import annotations

import logging
from collections.abc import Callable

from django.db import InterfaceError, InternalError, OperationalError
from django.http import HttpRequest, HttpResponse
from django.template.loader import get_template

from clinic.actions.reading import NotLogged

log = logging.getLogger(__name__)

_KINDS = (NotLogged, OperationalError, InternalError, InterfaceError)


class Unavailable:
    """A read that could not be logged and a write that could not be stored look alike."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponse | None:
        if not isinstance(error, _KINDS):
            return None
        log.error("the database did not answer", exc_info=error)
        page = HttpResponse(get_template("503.html").render(), status=503)
        page["Retry-After"] = "120"
        return page
