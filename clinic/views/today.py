"""Today: who is overdue, who is due; each with one thing to do."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from clinic import call_words
from clinic.clock import today as today_in
from clinic.due import Due, due_soon, next_due, waiting_calls
from clinic.models import Call, Clinic, Patient
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
    soon, calls = due_soon(clinic, day), waiting_calls(clinic)
    lines = [_line(due, clinic, day, may_write) for due in soon if due.due_on <= day]
    log_readers(request, clinic, _seen(lines, calls))
    overdue = [line for line in lines if line.over]
    due = [line for line in lines if not line.over]
    context = {
        "clinic": clinic,
        "finding": _finding(len(calls), len(overdue), len(due)),
        "waiting": [_waiting(call) for call in calls],
        "next_due": _next(soon, day),
        "may_word": can(request.user, "clinic_text.amend", clinic),
        "sections": [section for section in _sections(overdue, due) if section["lines"]],
        "head_cells": _head(request, clinic, day, lines),
        "may_record": may_write,
    }
    return render(request, "clinic/pages/today.html", context)


def _seen(lines: list[Line], calls: list[Call]) -> Iterator[Patient]:
    yield from (line.due.patient for line in lines)
    yield from (call.peritonitis.patient for call in calls)


def _waiting(call: Call) -> dict[str, object]:
    expected = call_words.expected_text(call)
    return {
        "call": call,
        "patient": call.peritonitis.patient,
        "clock": call_words.clock_text(call, call.called_at),
        "what": f"Cloudy bag, expected by {expected}" if expected else "Cloudy bag",
        "detail": call_words.detail(call),
    }


def _next(soon: list[Due], day: date) -> str:
    following = next_due(soon, day)
    if following is None:
        return "Nothing else is due."
    return f"Nothing else is due before {following:%A} {following.day} {following:%B}."


def _sections(overdue: list[Line], due: list[Line]) -> list[dict[str, object]]:
    return [
        {"id": "overdue", "name": "Overdue", "note": "The earliest first.", "lines": overdue},
        {
            "id": "due",
            "name": "Due today",
            "note": "Days count from the first antibiotic.",
            "lines": due,
        },
    ]


def _line(due: Due, clinic: Clinic, day: date, may_write: bool) -> Line:
    over = due.days_over(day)
    verb, subject, row = due.form
    address = reverse(verb, args=[clinic.uid, subject, row.uid]) if may_write else ""
    when = f"{over} {'day' if over == 1 else 'days'} over" if over else due.when
    return Line(due, when, over > 0, home_of(due.row), address)


def _finding(waiting: int, overdue: int, due: int) -> str:
    if not waiting and not overdue and not due:
        return "Nothing is due today."
    people = "patient" if waiting == 1 else "patients"
    said = [f"{_number(waiting)} {people} on the way"] if waiting else []
    said += [f"{_number(overdue)} overdue"] if overdue else []
    said += [f"{_number(due)} due today"] if due else []
    text = ", ".join(said)
    return f"{text[0].upper()}{text[1:]}."


def _number(count: int) -> str:
    return _WORDS[count].lower() if count < len(_WORDS) else str(count)


def _head(
    request: HttpRequest, clinic: Clinic, day: date, lines: list[Line]
) -> list[tuple[str, str]]:
    watched = len({line.due.patient.uid for line in lines})
    return [
        ("Clinic", clinic.name),
        ("Day", f"{day:%a} {day.day} {day:%b %Y}"),
        ("On duty", request.user.name),
        ("On this list", f"{watched} {'patient' if watched == 1 else 'patients'}"),
    ]
