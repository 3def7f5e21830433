"""Today: who is overdue, who is due; each with one thing to do."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from clinic.clock import today as today_in
from clinic.due import Due, due_list
from clinic.lineage import patient_of
from clinic.models import Clinic
from clinic.roles import can
from clinic.views.access import log_readers, reader_clinic
from clinic.views.around import home_of

_WORDS = ("No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine")


@dataclass(frozen=True)
class Line:
    """One row as the page draws it."""

    due: Due
    when: str
    over: bool
    home: str
    address: str  # of the form; empty for who may only read


@require_safe
def today(request: HttpRequest, clinic_uid: UUID) -> HttpResponse:
    clinic = reader_clinic(request, "morning_list.read", clinic_uid)
    day = today_in(clinic)
    may_write = can(request.user, "episode.record", clinic)
    lines = [_line(due, clinic, day, may_write) for due in due_list(clinic, day)]
    log_readers(request, clinic, (patient_of(line.due.row) for line in lines))
    overdue = [line for line in lines if line.over]
    due = [line for line in lines if not line.over]
    context = {
        "clinic": clinic,
        "finding": _finding(len(overdue), len(due)),
        "sections": [section for section in _sections(overdue, due) if section["lines"]],
        "head_cells": _head(request, clinic, day, lines),
        "may_record": may_write,
    }
    return render(request, "clinic/pages/today.html", context)


def _sections(overdue: list[Line], due: list[Line]) -> list[dict[str, object]]:
    return [
        {"id": "overdue", "name": "Overdue", "note": "The earliest first.", "lines": overdue},
        {"id": "due", "name": "Due today", "note": "", "lines": due},
    ]


def _line(due: Due, clinic: Clinic, day: date, may_write: bool) -> Line:
    over = due.days_over(day)
    verb, subject, row = due.form
    address = reverse(verb, args=[clinic.uid, subject, row.uid]) if may_write else ""
    when = f"{over} {'day' if over == 1 else 'days'} over" if over else "today"
    return Line(due, when, over > 0, home_of(due.row), address)


def _finding(overdue: int, due: int) -> str:
    if not overdue and not due:
        return "Nothing is due today."
    said = [f"{_number(overdue)} overdue"] if overdue else []
    said += [f"{_number(due)} due today"] if due else []
    text = ", ".join(said)
    return f"{text[0].upper()}{text[1:]}."


def _number(count: int) -> str:
    return _WORDS[count].lower() if count < len(_WORDS) else str(count)


def _head(
    request: HttpRequest, clinic: Clinic, day: date, lines: list[Line]
) -> list[tuple[str, str]]:
    watched = len({line.due.row.uid for line in lines})
    return [
        ("Clinic", clinic.name),
        ("Day", f"{day:%a} {day.day} {day:%b %Y}"),
        ("On duty", request.user.name),
        ("On this list", f"{watched} {'episode' if watched == 1 else 'episodes'}"),
    ]
