"""What the record knows on the demonstration's day: nothing of later days, no later result."""

from __future__ import annotations

from datetime import date, timedelta

from clinic.demo.begins import BEGINS, day_of
from clinic.demo.entered import entered_by
from clinic.demo.record_folder import Row, Rows

# What is said only once its day has come: with the day unknown, so is the rest.
_SAID_WITH = {
    "last_day_on": ("end_reason",),
    "removed_on": ("removal_reason",),
    "therapy_completed_on": ("resolved", "judged_refractory", "refractory"),
    "catheter_decided_on": ("catheter_decision",),
}
# Days to come that are said beforehand.
PLANNED = ("planned_last_dose_on", "due_on", "expected_at", "recorded_at")
CULTURE_DAYS = 3


def _later(row: Row, name: str, today: date) -> bool:
    day = day_of(row.get(name))
    return day is not None and day > today


def _cut(row: Row, last_day: date) -> Row:
    known = {
        name: None if name not in PLANNED and _later(row, name, last_day) else cell
        for name, cell in row.items()
    }
    for name, said in _SAID_WITH.items():
        if _later(row, name, last_day):
            known |= {other: None for other in said if other in known}
    return known


def nothing_after(rows: Rows, last_day: date) -> Rows:
    """Without what began later; what ended later has not ended."""
    return {
        subject: [
            _cut(row, last_day)
            for row in subject_rows
            if not _later(row, BEGINS.get(subject, ""), last_day)
        ]
        for subject, subject_rows in rows.items()
    }


def _pending(row: Row, today: date) -> bool:
    collected_on = day_of(row["collected_at"])
    assert collected_on is not None
    taken = row["culture"] in ("grown", "no_growth")
    return taken and collected_on + timedelta(days=CULTURE_DAYS) > today


def known_by(rows: Rows, today: date) -> Rows:
    """The rows as they stand on `today`: what was entered, without cultures still to come."""
    known = nothing_after(entered_by(rows, today), today)
    known["effluent_samples"] = [
        row | {"culture": "pending"} if _pending(row, today) else row
        for row in known["effluent_samples"]
    ]
    return known
