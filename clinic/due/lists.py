"""The clinic's list of a day: the lines of every rule, the earliest first."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from itertools import chain

from clinic.due import infections, patients, peritonitis, reviews
from clinic.due.line import Due
from clinic.models import Clinic

_SOURCES = (peritonitis.lines, infections.lines, reviews.lines, patients.lines)


def due_soon(clinic: Clinic, day: date) -> list[Due]:
    """Everything that has a day, past or to come, the earliest first."""
    found: Iterator[Due] = chain.from_iterable(lines(clinic, day) for lines in _SOURCES)
    return sorted(found, key=lambda line: (line.due_on, line.patient.number, line.what))


def due_list(clinic: Clinic, day: date) -> list[Due]:
    """Everything due by this day in the clinic."""
    return [line for line in due_soon(clinic, day) if line.due_on <= day]


def next_due(lines: list[Due], day: date) -> date | None:
    """The next day on which something becomes due."""
    return next((line.due_on for line in lines if line.due_on > day), None)
