"""The clinic's settings for the director; the clinic's other readers see them, unamended."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from clinic.actions.refusals import Refused
from clinic.clinic_text import wording_of
from clinic.clock import today
from clinic.models import Clinic
from clinic.roles import can
from clinic.views.access import get_in_sight, reader_clinic, require
from clinic.views.plain_form import plain_form
from reports.rate_report.definitions import Definition, definitions
from reports.rate_report.names import MEASURES
from reports.settings_page.forms import AgreeForm, WithdrawForm
from reports.versions import RULE_SET
from surveillance.phases import AMEND, agree_phase, standing_phases, withdraw_phase
from surveillance.rules import RULE_SETS
from surveillance.words import day_text

READ = "clinic.read"


@require_safe
def clinic_settings(request: HttpRequest, clinic_uid: UUID) -> HttpResponse:
    clinic = reader_clinic(request, READ, clinic_uid)
    is_inside = can(request.user, "dashboard.clinic_draft", clinic)
    return render(
        request,
        "reports/settings.html",
        {
            "clinic": clinic,
            "title_detail": "settings",
            "head_cells": [
                ("Clinic", clinic.name), ("Time zone", clinic.time_zone),
                ("Network", clinic.network or "none"), ("Rules", RULE_SETS[RULE_SET].title),
            ],
            "rules": _rules(),
            "rules_title": RULE_SETS[RULE_SET].title,
            "targets": _targets(),
            "phases": list(standing_phases(clinic)) if is_inside else [],
            "wording": wording_of(clinic) if is_inside else None,
            "is_inside": is_inside,
            "may_agree": can(request.user, AMEND, clinic),
            "may_word": can(request.user, "clinic_text.amend", clinic),
        },
    )  # fmt: skip


def _rules() -> list[Definition]:
    """Without the targets, which stand above."""
    return [one for one in definitions(RULE_SET).rows if not one.name.startswith("target_")]


def _targets() -> list[dict[str, Any]]:
    return [
        {"name": MEASURES[one.measure].title, "says": f"{one.sign} {one.value:g}",
         "source": f"{one.source}, {one.place}", "certainty": one.certainty}
        for one in RULE_SETS[RULE_SET].targets.values()
    ]  # fmt: skip


@require_http_methods(["GET", "HEAD", "POST"])
def agree(request: HttpRequest, clinic_uid: UUID) -> HttpResponse:
    clinic = _amended(request, clinic_uid)
    form = AgreeForm(clinic, request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            made = agree_phase(clinic=clinic, by=request.user, **form.cleaned_data)
            said = f"Agreed from {day_text(made.first_day)} on. The next computation follows it."
            messages.success(request, said)
            return redirect("clinic_settings", clinic.uid)
        except Refused as refused:
            form.add_refusal(refused)
    return _form_page(
        request, clinic, form, "From when on do the signals start anew?", "Agree on it",
        "Figures, targets and signed quarters do not change by it: only what the signals expect.",
    )  # fmt: skip


@require_http_methods(["GET", "HEAD", "POST"])
def withdraw(request: HttpRequest, clinic_uid: UUID, uid: UUID) -> HttpResponse:
    clinic = _amended(request, clinic_uid)
    phase = get_in_sight(request, standing_phases(clinic), uid)
    form = WithdrawForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            withdraw_phase(phase=phase, by=request.user, **form.cleaned_data)
            messages.success(request, "Taken back. The phase before it holds on.")
            return redirect("clinic_settings", clinic.uid)
        except Refused as refused:
            form.add_refusal(refused)
    return _form_page(
        request, clinic, form, f"Take back the phase from {day_text(phase.first_day)} on?",
        "Take it back", "It stays in the audit trail with both reasons.",
    )  # fmt: skip


def _amended(request: HttpRequest, clinic_uid: UUID) -> Clinic:
    require(request, AMEND)
    clinic = reader_clinic(request, READ, clinic_uid)
    require(request, AMEND, clinic)
    return clinic


def _form_page(
    request: HttpRequest, clinic: Clinic, form: Any, heading: str, button: str, lead: str
) -> HttpResponse:
    return plain_form(
        request, form, heading=heading, button=button, lead=lead,
        back=reverse("clinic_settings", args=[clinic.uid]), clinic=clinic, page_name="Watch",
        head_cells=[("Clinic", clinic.name), ("Day", day_text(today(clinic)))],
    )  # fmt: skip
