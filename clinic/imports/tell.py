"""Puts what the checks found into the words of a record file: file, row, column, value."""

from __future__ import annotations

from datetime import date, datetime
from typing import TYPE_CHECKING, Any

from clinic.checks import CheckRow, Finding, Mark
from clinic.checks.rows import samples_of
from clinic.columns import SUBJECTS
from clinic.imports.changes import Change
from clinic.imports.places import Place, Remark
from clinic.models import AuditEvent
from clinic.reading import day_text, shown

if TYPE_CHECKING:
    from clinic.imports.source import Source


def said(value: Any) -> str:
    """A value as a file would write it."""
    if value in ("", None):
        return "empty"
    if isinstance(value, datetime):
        return value.isoformat(timespec="minutes")
    if isinstance(value, float):
        return f"{value:.15g}"
    return value.isoformat() if isinstance(value, date) else shown(str(value))


def remark_of(finding: Finding) -> Remark:
    """Told at the first row that the folder holds; the other rows are named beside it."""
    first = next(mark for mark in finding.marks if mark.row.changed)
    others = tuple(_elsewhere(mark) for mark in finding.marks if mark is not first)
    place, text = _place(first.row), _cell_text(first)
    return Remark(place, first.field, text, finding.sentence, finding.allowed, finding.code, others)


def _place(row: CheckRow) -> Place:
    return row.where.place


def _cell_text(mark: Mark) -> str:
    typed = mark.row.where.text(mark.field)
    return typed if typed or mark.value in ("", None) else said(mark.value)


def _is_of_the_folder(row: CheckRow) -> bool:
    return hasattr(row.where, "place")


def _elsewhere(mark: Mark) -> str:
    field = f"{mark.field}: {said(mark.value)}"
    if _is_of_the_folder(mark.row):
        return f"{mark.row.where.place}, {field}"
    return f"in the record, {mark.row.name}, {field}"


def conflict_remark(row: CheckRow, stored: CheckRow, name: str) -> Remark:
    """A person wrote the record's value: no file overwrites it unasked."""
    old, new = said(stored[name]), said(row[name])
    sentence = (
        f"conflict: the record has {old}, written by {_who(stored, name)}; the file has {new}"
    )
    allowed = f"{old}, or empty to keep the record's value"
    return row.where.remark(name, "hand_conflict", sentence, allowed)


def _who(stored: CheckRow, name: str) -> str:
    events = AuditEvent.objects.filter(thing_uid=stored.where.uid).order_by("-number")
    for event in events:
        if name in event.changes:
            return f"{event.actor} on {day_text(event.at.date())}"
    return "a person"


def change_remarks(patient: str, change: Change) -> list[Remark]:
    """As people read it: "P031 sex female -> male"."""
    subject = SUBJECTS[change.row.subject]
    what = patient if subject.name == "patients" else f"{patient} {change.row.name}"
    return [
        change.row.where.remark(name, "changed", f"{what} {name} {said(old)} -> {said(new)}")
        for name, (old, new) in change.cells.items()
    ]


# Where the cell itself could not be read, its absence is no second fault.
_ONSET_FIELDS = ("onset_on", "presented_at", "collected_at")


def is_explained(finding: Finding, rows: dict[str, list[CheckRow]], source: Source) -> bool:
    """Whether the finding only follows from a cell or row that is told as a fault itself."""
    if any(mark.field in _faulty(mark.row) for mark in finding.marks):
        return True
    if finding.code == "no_onset":
        episode = finding.marks[0].row
        dated = [episode, *samples_of(rows, episode["episode"])]
        return any(name in _faulty(row) for row in dated for name in _ONSET_FIELDS)
    if finding.code == "without_parent":
        mark = finding.marks[0]
        parent = SUBJECTS[mark.row.subject].parent
        parent = "peritonitis" if mark.row.subject == "admissions" else parent
        return source.is_lost(parent, mark.value)
    return False


def _faulty(row: CheckRow) -> Any:
    return row.where.faulty if _is_of_the_folder(row) else ()
