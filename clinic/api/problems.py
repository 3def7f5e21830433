"""Every refusal as problem details (RFC 9457), with the faults by field in `errors`."""

from __future__ import annotations

import logging
from collections.abc import Mapping
from http import HTTPStatus
from typing import Any

from django.core.exceptions import RequestDataTooBig, SuspiciousOperation
from django.db import InterfaceError, InternalError, OperationalError
from rest_framework import exceptions
from rest_framework.response import Response
from rest_framework.views import exception_handler

from clinic.actions.reading import NotLogged
from clinic.actions.refusals import Conflict, Refused
from clinic.api.parsing import TooLarge

log = logging.getLogger(__name__)

MEDIA_TYPE = "application/problem+json"
WHOLE = "record"  # where a fault stands that belongs to no single field

_DETAILS = {
    400: "The body or the query cannot be taken; nothing was stored.",
    401: "Sign in, or send a token that holds.",
    404: "There is no such thing here, or it belongs to a clinic that you do not see.",
    405: "This address does not take this method.",
    409: "Changed by somebody since you read it; nothing was stored.",
    503: "Not saved; send it again in a while.",
}
_UNAVAILABLE = (NotLogged, OperationalError, InternalError, InterfaceError)

Errors = Mapping[str, list[str]]


class Rejected(exceptions.APIException):
    """The content is at fault; messages by field."""

    status_code = 400

    def __init__(self, errors: Errors) -> None:
        super().__init__()
        self.errors = errors


def problem(status: int, detail: str = "", errors: Errors | None = None, **more: Any) -> Response:
    body: dict[str, Any] = {
        "type": "about:blank",
        "title": HTTPStatus(status).phrase,
        "status": status,
        "detail": detail or _DETAILS.get(status, ""),
        **more,
    }
    if errors is not None:
        body["errors"] = errors
    return Response(body, status=status, content_type=MEDIA_TYPE)


def handle(error: Exception, context: dict[str, Any]) -> Response | None:
    """What DRF calls for every exception; none lets it pass as a fault of ours."""
    if isinstance(error, Refused):
        return problem(400, errors=_faults(error, context))
    if isinstance(error, Rejected):
        return problem(400, errors=error.errors)
    if isinstance(error, Conflict):
        return _conflict(error, context)
    if isinstance(error, _UNAVAILABLE):
        log.error("the database did not answer", exc_info=error)
        return problem(503)
    if isinstance(error, SuspiciousOperation):
        error = TooLarge() if isinstance(error, RequestDataTooBig) else exceptions.ParseError()
    return _of_framework(error, context)


def _of_framework(error: Exception, context: dict[str, Any]) -> Response | None:
    answer = exception_handler(error, context)
    if answer is None:
        return None
    told = str(answer.data.get("detail", "")) if isinstance(answer.data, dict) else ""
    keep = answer.status_code not in (401, 404, 405)
    found = problem(answer.status_code, told if keep else "")
    for name in ("WWW-Authenticate", "Allow", "Retry-After"):
        if name in answer:
            found[name] = answer[name]
    return found


def _faults(refused: Refused, context: dict[str, Any]) -> dict[str, list[str]]:
    names = getattr(context.get("view"), "field_names", {})
    errors: dict[str, list[str]] = {}
    for fault in refused.faults:
        name = names.get(fault.field, fault.field) or WHOLE
        errors.setdefault(name, []).append(fault.sentence)
    return errors


def _conflict(conflict: Conflict, context: dict[str, Any]) -> Response:
    """Beside the refusal what now stands, and who wrote it: the caller decides."""
    shown = context["view"].shown(conflict.row)
    detail = f"Changed by {conflict.changed_by} since you read it; nothing was stored."
    return problem(409, detail, current=shown)
