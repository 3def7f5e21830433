"""Decisions: what was decided, who sees to it, until when, and what came of it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from clinic.actions.decisions import record_decision, review_decision
from clinic.actions.refusals import Refused
from clinic.clock import today
from clinic.decisions import READ, WRITE, Standing, readable, sees_coded, standing_decisions
from clinic.forms.decision_forms import DecisionForm, ReviewForm
from clinic.models import Clinic, Decision
from clinic.reading import day_text
from clinic.roles import can
from clinic.views.access import get_in_sight, reader_clinic, require
from clinic.views.plain_form import plain_form

# What is said of each figure before and after its decision; given in surveillance.urls.
Effects = Callable[[Clinic], Callable[[Standing], Any]]


@require_safe
def decisions(request: HttpRequest, clinic_uid: UUID, effects: Effects) -> HttpResponse:
    clinic = reader_clinic(request, READ, clinic_uid)
    is_coded, found = sees_coded(request.user, clinic), readable(request.user, clinic)
    effect = (lambda one: None) if is_coded else effects(clinic)  # of a draft: not the auditor's
    day = today(clinic)
    lists = (
        ("due", "To review", "The day has come: what came of it?", _due(found, clinic)),
        ("open", "Under way", "Reviewed on the day named.",
         [one for one in found if one.due_on and not one.is_due(day)]),
        ("settled", "Settled", "Kept with what came of it.",
         [one for one in found if one.due_on is None]),
    )  # fmt: skip
    context = {
        "clinic": clinic,
        "finding": _finding(found, clinic),
        "lists": [
            (key, name, note, [_shown(one, effect, is_coded) for one in held])
            for key, name, note, held in lists if held
        ],
        "may_write": can(request.user, WRITE, clinic),
        "head_cells": [("Clinic", clinic.name), ("Day", day_text(day))],
    }  # fmt: skip
    return render(request, "clinic/pages/decisions.html", context)


def _due(found: list[Standing], clinic: Clinic) -> list[Standing]:
    return [one for one in found if one.is_due(today(clinic))]


def _shown(one: Standing, effect: Callable[[Standing], Any], is_coded: bool) -> dict[str, Any]:
    row = one.decision
    return {
        "row": row,
        "owner": row.owner_role if is_coded else row.owner.name,
        "due_on": one.due_on,
        "effect": effect(one),
        "is_mistaken": one.is_mistaken,
        "reviews": [(each, "" if is_coded else each.by.name) for each in one.reviews],
    }


def _finding(found: list[Standing], clinic: Clinic) -> str:
    if not found:
        return "No decision is entered yet."
    due, open_ = len(_due(found, clinic)), sum(one.due_on is not None for one in found)
    if due:
        return f"{due} {'decision waits' if due == 1 else 'decisions wait'} for a review."
    if open_:
        return f"{open_} {'decision is' if open_ == 1 else 'decisions are'} under way."
    return "Every decision is settled."


@require_http_methods(["GET", "HEAD", "POST"])
def new_decision(request: HttpRequest, clinic_uid: UUID) -> HttpResponse:
    require(request, WRITE)
    clinic = reader_clinic(request, READ, clinic_uid)
    require(request, WRITE, clinic)
    form = DecisionForm(clinic, request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            record_decision(clinic=clinic, by=request.user, **form.values)
            messages.success(request, "The decision is kept, and its mark stands on the charts.")
            return redirect("decisions", clinic.uid)
        except Refused as refused:
            form.add_refusal(refused)
    return plain_form(
        request, form, heading="What was decided?", button="Keep the decision",
        lead="One decision, one owner, one figure that it should move, one day to look again.",
        back=reverse("decisions", args=[clinic.uid]), clinic=clinic, head_cells=_head(clinic),
    )  # fmt: skip


@require_http_methods(["GET", "HEAD", "POST"])
def review(request: HttpRequest, clinic_uid: UUID, uid: UUID, effects: Effects) -> HttpResponse:
    require(request, WRITE)
    clinic = reader_clinic(request, READ, clinic_uid)
    row = get_in_sight(request, Decision.objects.filter(clinic=clinic), uid)
    require(request, WRITE, clinic)
    one = next(each for each in standing_decisions(clinic) if each.decision == row)
    effect, form = effects(clinic)(one), ReviewForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            review_decision(
                decision=row, by=request.user, shown=effect.sentence, **form.cleaned_data
            )
            messages.success(request, "The outcome is kept beside the decision.")
            return redirect("decisions", clinic.uid)
        except Refused as refused:
            form.add_refusal(refused)
    context = {
        "clinic": clinic, "one": _shown(one, lambda each: effect, False), "form": form,
        "head_cells": _head(clinic),
    }  # fmt: skip
    status = 422 if form.errors else 200
    return render(request, "clinic/pages/decision_review.html", context, status=status)


def _head(clinic: Clinic) -> list[tuple[str, str]]:
    return [("Clinic", clinic.name), ("Day", day_text(today(clinic)))]
