"""Who read whose identified record: stored before the answer is sent, or there is no answer.

The house's chain takes these events: in the clinic's own they would look like changes of the
record and make every stored result stale.
"""

from __future__ import annotations

from collections.abc import Iterable

from django.db import DatabaseError

from clinic.actions.audit import write_event
from clinic.models import Clinic, Patient, Person


class NotLogged(Exception):
    """The line about the read could not be stored: nothing identified may be sent."""


def log_read(
    *, clinic: Clinic, by: Person, page: str, patients: Iterable[Patient | None], source: str = ""
) -> None:
    """`page` is the page's or the route's name, `source` the address that asked."""
    seen = sorted({str(patient.uid) for patient in patients if patient is not None})
    try:
        write_event(
            clinic=None, by=by, verb="read", thing="page", thing_uid=clinic.uid,
            changes={
                "clinic": str(clinic.uid), "page": page, "source": source, "patients": seen,
            },
        )  # fmt: skip
    except DatabaseError as error:
        raise NotLogged from error
