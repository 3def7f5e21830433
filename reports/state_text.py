"""The head of a sheet: clinic, period, when it was frozen, by which rules, in which state."""

from __future__ import annotations

from datetime import datetime

from clinic.models import Clinic
from reports.rate_report.names import RULE_SETS
from surveillance.models import Snapshot
from surveillance.words import day_text


def moment_text(moment: datetime, clinic: Clinic) -> str:
    """A moment on the clinic's own clock: 20 Jan 2026, 08:00."""
    local = moment.astimezone(clinic.zone)
    return f"{day_text(local.date())}, {local:%H:%M}"


def state_words(snapshot: Snapshot) -> str:
    """The state in words; whatever is not signed says so."""
    words = {
        "draft": f"Draft, to {day_text(snapshot.as_of)}",
        "prepared": "Prepared, not signed",
        "returned": "Returned, not signed",
        "signed": f"Signed, version {snapshot.version}",
        "superseded": f"Version {snapshot.version}, superseded",
    }
    return words[snapshot.state]


def frozen_text(snapshot: Snapshot) -> str:
    return moment_text(snapshot.prepared_at or snapshot.made_at, snapshot.clinic)


HeadCell = tuple[str, str]  # label and value


def head_cells(snapshot: Snapshot, period_words: str, *more: HeadCell) -> list[HeadCell]:
    """The first two cells are the ones that a phone shows."""
    return [
        ("Clinic", snapshot.clinic.name),
        ("Period", period_words),
        *more,
        ("Computed" if snapshot.state == "draft" else "Frozen", frozen_text(snapshot)),
        ("Rules", RULE_SETS.get(snapshot.rule_set, snapshot.rule_set)),
        ("State", state_words(snapshot)),
    ]
