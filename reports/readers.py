"""What one person may see of a snapshot: its periods, its patients, its trainers."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest

from clinic.models import Person
from clinic.roles import can, conditions, period_open
from reports.rate_report.period_text import rolling_year
from reports.rate_report.tables import Recipient
from surveillance.models import Snapshot


def recipient_of(person: Person, snapshot: Snapshot) -> Recipient:
    """The person as the recipient of files: their own pseudonyms, trainers only if allowed."""
    return Recipient(
        str(person.uid),
        sees_trainers=can(person, "dashboard.trainer_cohort", snapshot),
        sees_history=can(person, "dashboard.clinic_draft", snapshot),
    )


def outside_recipient(person: Person, snapshot: Snapshot) -> Recipient:
    """The person as the reader of a report that may leave the clinic: nobody can be told apart."""
    return replace(recipient_of(person, snapshot), sees_trainers=False, is_outside=True)


def sees_patients(person: Person, snapshot: Snapshot) -> bool:
    """Record numbers on the page, or pseudonyms."""
    return can(person, "line_list.identified_page", snapshot)


def is_masked(person: Person, capability: str, snapshot: Snapshot) -> bool:
    """Whether this person gets small counts hidden here."""
    return "masked" in conditions(person, capability, snapshot)


def require_plain_counts(person: Person, capability: str, snapshot: Snapshot) -> None:
    """Masked pages are not drawn yet: whoever may have nothing else is refused."""
    if is_masked(person, capability, snapshot):
        raise PermissionDenied("Small counts would have to be hidden here; this comes later.")


def require_open_period(
    request: HttpRequest, capability: str, snapshot: Snapshot, period: str
) -> None:
    """A period out of an auditor's grant is like none at all."""
    if not period_open(request.user, capability, snapshot, period):
        raise Http404


def open_periods(person: Person, snapshot: Snapshot, quarter: str) -> Callable[[str], bool]:
    """Which periods of the version the person may read: the clinic's own people all of them."""
    if can(person, "dashboard.clinic_draft", snapshot):
        return lambda period: True
    held = {
        period for period in (quarter, rolling_year(quarter))
        if period_open(person, "dashboard.clinic_frozen", snapshot, period)
    }  # fmt: skip
    return held.__contains__
