"""The order of checks before any page: signed in, held somewhere, in sight, may do this."""

from __future__ import annotations

import logging
from collections.abc import Iterable
from typing import Any, TypeVar
from uuid import UUID

from django.core.exceptions import PermissionDenied
from django.db.models import QuerySet
from django.http import Http404, HttpRequest

from clinic.actions.reading import log_read
from clinic.capabilities import CAPABILITIES
from clinic.lineage import path_to_clinic, patient_of
from clinic.models import Clinic, Patient, RecordRow
from clinic.roles import can, clinics_where, snapshots_where

log = logging.getLogger(__name__)

Row = TypeVar("Row", bound=RecordRow)


def require(request: HttpRequest, capability: str, thing: Any = None) -> None:
    """403 unless the person may do this; the words name the roles that may."""
    if not can(request.user, capability, thing):
        _log_refusal(request, capability, "403")
        raise PermissionDenied(_who_may(capability))


def reader_clinic(request: HttpRequest, capability: str, clinic_uid: UUID) -> Clinic:
    """The clinic among those the person may read so; another clinic's is like none at all."""
    require(request, capability)
    return get_in_sight(request, clinics_where(request.user, capability), clinic_uid)


def reader_row(
    request: HttpRequest, capability: str, clinic_uid: UUID, rows: QuerySet[Row], uid: UUID
) -> Row:
    """A record row of the clinic in the address; `rows` are filtered by the clinic first.

    Who reads whose row is stored here, before any page is drawn.
    """
    clinic = reader_clinic(request, capability, clinic_uid)
    row = get_in_sight(request, rows.filter(**{path_to_clinic(rows.model): clinic}), uid)
    if not can(request.user, capability, row):  # an auditor's grant reaches no living record
        raise Http404
    log_readers(request, clinic, [patient_of(row)])
    return row


def log_readers(request: HttpRequest, clinic: Clinic, patients: Iterable[Patient | None]) -> None:
    """Store that this person sees these patients on this page; without the line, no page."""
    match = request.resolver_match
    log_read(
        clinic=clinic, by=request.user, page=match.url_name if match else "",
        patients=patients, source=request.META.get("REMOTE_ADDR", ""),
    )  # fmt: skip


def reader_snapshot(
    request: HttpRequest, capability: str, clinic_uid: UUID, snapshots: QuerySet[Any], uid: UUID
) -> Any:
    """A snapshot of the clinic that the person may open: an auditor's are signed and granted."""
    clinic = reader_clinic(request, capability, clinic_uid)
    open_to = snapshots_where(request.user, capability, snapshots.filter(clinic=clinic))
    return get_in_sight(request, open_to, uid)


def get_in_sight(request: HttpRequest, things: QuerySet[Any], uid: UUID) -> Any:
    found = things.filter(uid=uid).first()
    if found is None:
        _log_refusal(request, str(uid), "404")
        raise Http404
    return found


def _who_may(capability: str) -> str:
    cells = CAPABILITIES.get(capability, {})
    roles = [role.replace("_", " ") for role, cell in cells.items() if _opens(role, cell.scope)]
    return f"This is for: {', '.join(roles)}." if roles else "This is open to nobody."


def _opens(role: str, scope: str) -> bool:
    return role != "anonymous" and scope not in ("no", "n/a")


def _log_refusal(request: HttpRequest, asked: str, answer: str) -> None:
    log.warning("refused %s: person %s asked %s", answer, request.user.pk, asked)
