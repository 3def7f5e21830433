"""Today: who waits, what is overdue, due or newly arrived; each with one thing to do."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from clinic.clock import today as today_in
from clinic.decisions import READ, WRITE, Standing, decisions_due
from clinic.due import (
    Due,
    arrivals,
    due_soon,
    judgements_asked,
    next_due,
    waiting_calls,
    without_hidden,
)
from clinic.models import Clinic
from clinic.roles import can
from clinic.views.access import log_readers, reader_clinic
from clinic.views.today_lines import (
    Line,
    arrived_line,
    decision_line,
    finding,
    line,
    sections,
    waiting_line,
)

# What is said of a figure before and after a decision; given in surveillance.urls.
Effects = Callable[[Clinic], Callable[[Standing], Any]]
# Signals that nobody has looked at: name, sentence and address of each; given in reports.urls.
Signals = Callable[[HttpRequest, Clinic], list[dict[str, str]]]


@require_safe
def today(
    request: HttpRequest, clinic_uid: UUID, effects: Effects, signals: Signals
) -> HttpResponse:
    clinic = reader_clinic(request, "morning_list.read", clinic_uid)
    day = today_in(clinic)
    soon, may_write = due_soon(clinic, day), can(request.user, "episode.record", clinic)
    soon = without_hidden(soon, request.user)
    lines = [line(due, clinic, 0, True) for due in judgements_asked(clinic, request.user)]
    lines += [
        line(due, clinic, due.days_over(day), may_write) for due in soon if due.due_on <= day
    ]  # fmt: skip
    reviews, unseen = _reviews(request, clinic, day, effects), signals(request, clinic)
    context = {
        "clinic": clinic,
        "may_record": may_write,
        "may_word": can(request.user, "clinic_text.amend", clinic),
        "may_review": can(request.user, WRITE, clinic),
        "reviews": reviews,
        "signals": unseen,
        "sections": sections(lines),
        "next_due": _next(soon, day),
        **_people(request, clinic, day, lines, (len(unseen), len(reviews))),
    }
    return render(request, "clinic/pages/today.html", context)


def _reviews(
    request: HttpRequest, clinic: Clinic, day: date, effects: Effects
) -> list[dict[str, object]]:
    """Decisions whose day has come, each with what became of its figure."""
    if not can(request.user, READ, clinic):
        return []
    effect = effects(clinic)
    return [decision_line(one, effect(one).sentence, day) for one in decisions_due(clinic, day)]


def _people(
    request: HttpRequest, clinic: Clinic, day: date, lines: list[Line], beside: tuple[int, int]
) -> dict[str, Any]:
    """Calls and results beside the list; who is on the page is logged before it is drawn."""
    calls, arrived = waiting_calls(clinic), arrivals(clinic, request.user)
    seen = [one.due.patient for one in lines]
    seen += [call.peritonitis.patient for call in calls]
    seen += [arrival.patient for arrival in arrived]
    log_readers(request, clinic, seen)
    return {
        "finding": finding(len(calls), lines, len(arrived), *beside),
        "waiting": [waiting_line(call) for call in calls],
        "arrived": [arrived_line(arrival, clinic, day) for arrival in arrived],
        "head_cells": _head(request, clinic, day, {patient.uid for patient in seen}),
    }


def _next(soon: list[Due], day: date) -> str:
    following = next_due(soon, day)
    if following is None:
        return "Nothing else is due."
    return f"Nothing else is due before {following:%A} {following.day} {following:%B}."


def _head(
    request: HttpRequest, clinic: Clinic, day: date, patients: Iterable[UUID]
) -> list[tuple[str, str]]:
    count = len(set(patients))
    return [
        ("Clinic", clinic.name),
        ("Day", f"{day:%a} {day.day} {day:%b %Y}"),
        ("On duty", request.user.name),
        ("On this list", f"{count} {'patient' if count == 1 else 'patients'}"),
    ]
