"""Which stored version Watch reads for one person, and how much of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from django.http import HttpRequest

from clinic.models import Clinic, Person
from clinic.roles import can, conditions, snapshots_where
from clinic.signal_work import works_of
from reports.rate_report.figures import Figures
from reports.rate_report.period_text import rolling_year
from reports.readers import sees_patients
from reports.watch.standing import Signal, signals_of
from surveillance.models import Snapshot
from surveillance.periods import parse_period
from surveillance.signals.alarm import DEFAULT_ALARMS, is_alarm
from surveillance.snapshots import newest_draft

READ, WORK = "dashboard.signals", "signal.work"
Row = dict[str, Any]


@dataclass(frozen=True)
class Watched:
    """One version's signals as one reader may see them; no version: nothing is computed yet."""

    clinic: Clinic
    snapshot: Snapshot | None
    rows: list[Row]
    signals: list[Signal]
    is_masked: bool  # small counts hidden, no episode shown
    sees_episodes: bool
    may_work: bool
    last_day: date | None  # up to which the reader sees


def watched(request: HttpRequest, clinic: Clinic) -> Watched:
    person = request.user
    is_inside = can(person, "dashboard.clinic_draft", clinic)
    is_masked = "masked" in conditions(person, READ, clinic)
    snapshot = newest_draft(clinic) if is_inside or is_masked else _signed(person, clinic)
    rows = Figures(snapshot).signals() if snapshot else []
    first, last = _span(snapshot, is_inside or is_masked)
    rows = [row for row in rows if first <= row["window_start"] and row["window_end"] <= last]
    alarms = [row for row in rows if row["rule"] in DEFAULT_ALARMS and is_alarm(row)]
    return Watched(
        clinic, snapshot, rows, signals_of(alarms, works_of(clinic) if is_inside else ()),
        is_masked, is_inside and snapshot is not None and sees_patients(person, snapshot),
        can(person, WORK, clinic), _last_day(snapshot, last),
    )  # fmt: skip


def _signed(person: Person, clinic: Clinic) -> Snapshot | None:
    """The latest signed quarter of an auditor's grant."""
    held = Snapshot.objects.filter(clinic=clinic).select_related("clinic")
    return snapshots_where(person, READ, held).order_by("through", "version").last()


def _span(snapshot: Snapshot | None, is_whole: bool) -> tuple[str, str]:
    """An auditor sees the rolling year of the quarter granted, and no other day."""
    if snapshot is None or is_whole:
        return "", "9999"
    year = parse_period(rolling_year(snapshot.through))
    return year.start.isoformat(), year.last_day.isoformat()


def _last_day(snapshot: Snapshot | None, last: str) -> date | None:
    if snapshot is None:
        return None
    return min(snapshot.as_of, date.fromisoformat(last)) if last != "9999" else snapshot.as_of
