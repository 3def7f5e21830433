"""One line of the list of what is due."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from clinic.lineage import patient_of
from clinic.models import Patient, RecordRow

WATCH_DAYS = 180  # older gaps are the Gaps page's, not this morning's


@dataclass(frozen=True)
class Due:
    """Who, what, since when, and the one form that settles it."""

    row: RecordRow  # the episode, or the patient
    what: str
    detail: str
    due_on: date
    action: str
    form: tuple[str, str, RecordRow]  # add or amend, the subject, the row or the parent
    when: str = "today"  # how the page says it on its day

    @property
    def patient(self) -> Patient:
        found = patient_of(self.row)
        assert found is not None  # every line is somebody's
        return found

    def days_over(self, day: date) -> int:
        return (day - self.due_on).days


def short(day: date) -> str:
    return f"{day.day} {day:%B}"
