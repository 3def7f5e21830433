"""The dissents that a version was frozen with, as its page lists them for one reader."""

from __future__ import annotations

from dataclasses import dataclass

from django.http import HttpRequest

from reports.rate_report.dissents import derived_text, dissents, dissents_for, onset_text
from reports.rate_report.material import report_periods
from reports.rate_report.tables import Cells
from reports.readers import recipient_of, sees_patients
from reports.reading_log import log_read
from surveillance.models import Snapshot
from surveillance.words import sequence_text


@dataclass(frozen=True)
class Disputed:
    """One dissent: both categories side by side; by whom and why for the clinic's own people."""

    patient: str
    onset: str
    derived: str
    held: str
    by: str
    reason: str


def disputed(request: HttpRequest, snapshot: Snapshot) -> list[Disputed]:
    """Of the longest period that the version's files hold: the rolling year, else the quarter."""
    held = report_periods(snapshot, snapshot.through)
    return [_disputed(row) for row in _rows(request, snapshot, held[0])] if held else []


def _rows(request: HttpRequest, snapshot: Snapshot, period: str) -> list[Cells]:
    if not sees_patients(request.user, snapshot):
        return dissents_for(snapshot, period, recipient_of(request.user, snapshot)).rows
    rows = dissents(snapshot, period).rows
    if rows:
        log_read(
            snapshot, by=request.user, page=request.path,
            numbers=[row["patient"] for row in rows], source=request.META.get("REMOTE_ADDR", ""),
        )  # fmt: skip
    return rows


def _disputed(row: Cells) -> Disputed:
    return Disputed(
        row["patient"], onset_text(row), derived_text(row), sequence_text(row["dissent"]),
        row.get("by", "a director of the clinic"), row.get("reason", ""),
    )  # fmt: skip
