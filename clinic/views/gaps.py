"""Gaps: warnings until somebody settles them, fields missing by patient, names not mapped."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django import forms
from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from clinic.actions.judgements import settle_gap
from clinic.actions.organism_names import map_local_name
from clinic.actions.refusals import Refused
from clinic.catalogue import organism_names
from clinic.clock import today
from clinic.forms.record_form import reason_field
from clinic.gaps import missing_fields, open_warnings
from clinic.local_names import unlisted_names
from clinic.models import Clinic, LocalOrganismName, Patient
from clinic.reading import day_text
from clinic.roles import can
from clinic.views.access import log_readers, reader_clinic, require

PAGE_SIZE = 25
# access.csv names no capability of its own for this page: who looks after duplicates sees it.
READ = "duplicate_list.read"


class SettleForm(forms.Form):
    use_required_attribute = False
    reason = reason_field(required=True)


class NameForm(forms.Form):
    """One name of the laboratory, and the catalogue's entry that it stands for."""

    use_required_attribute = False
    name = forms.CharField(widget=forms.HiddenInput, max_length=200, strip=False)
    organism = forms.CharField(
        label="Stands for", max_length=200,
        widget=forms.TextInput(attrs={"autocomplete": "off", "list": "organisms"}),
        error_messages={"required": "Choose a name of the catalogue."},
    )  # fmt: skip


@require_safe
def gaps(request: HttpRequest, clinic_uid: UUID) -> HttpResponse:
    clinic = reader_clinic(request, READ, clinic_uid)
    return _page(request, clinic)


def _page(request: HttpRequest, clinic: Clinic, faulty: NameForm | None = None) -> HttpResponse:
    warnings, missing = open_warnings(clinic), missing_fields(clinic)
    names = unlisted_names(clinic)
    context = {
        "clinic": clinic,
        "finding": _finding(len(warnings), len(missing), len(names)),
        "warnings": Paginator(warnings, PAGE_SIZE).get_page(request.GET.get("warnings")),
        "missing": Paginator(missing, PAGE_SIZE).get_page(request.GET.get("missing")),
        "names": _name_forms(names, faulty),
        "mapped": LocalOrganismName.objects.filter(clinic=clinic).select_related("by"),
        "may_map": can(request.user, "organism.map_local_name", clinic),
        "may_write": can(request.user, "episode.record", clinic),
        "organism_names": organism_names(),
        "head_cells": [("Clinic", clinic.name), ("Day", day_text(today(clinic)))],
    }
    shown = {gap.patient_uid for gap in context["warnings"]}
    shown |= {each.uid for each in context["missing"]}
    log_readers(request, clinic, Patient.objects.filter(uid__in=shown))
    status = 422 if faulty else 200
    return render(request, "clinic/pages/gaps.html", context, status=status)


def _finding(warnings: int, missing: int, names: int) -> str:
    if not warnings and not missing and not names:
        return "Nothing is open."
    said = [
        f"{warnings} {'warning' if warnings == 1 else 'warnings'} to settle",
        f"{missing} {'patient' if missing == 1 else 'patients'} with a field missing",
        f"{names} {'name' if names == 1 else 'names'} of organisms to map",
    ]
    counted = zip(said, (warnings, missing, names), strict=True)
    return f"{', '.join(text for text, count in counted if count)}."


def _name_forms(names: dict[str, int], faulty: NameForm | None) -> list[dict[str, Any]]:
    typed = faulty.data.get("name") if faulty else None
    return [
        {
            "name": name,
            "rows": rows,
            "form": faulty
            if name == typed
            else NameForm(initial={"name": name}, auto_id=f"id_{number}_%s"),
        }
        for number, (name, rows) in enumerate(names.items())
    ]


@require_http_methods(["POST"])
def map_name(request: HttpRequest, clinic_uid: UUID) -> HttpResponse:
    clinic = reader_clinic(request, READ, clinic_uid)
    require(request, "organism.map_local_name", clinic)
    form = NameForm(request.POST)
    if form.is_valid():
        try:
            made = map_local_name(clinic=clinic, by=request.user, **form.cleaned_data)
            said = f"{made.name} is read as {made.scientific_name} here from now on."
            messages.success(request, f"{said} The figures follow with the next computation.")
            return redirect("gaps", clinic.uid)
        except Refused as refused:
            form.add_error("organism", str(refused))
    return _page(request, clinic, form)


@require_http_methods(["GET", "HEAD", "POST"])
def settle(request: HttpRequest, clinic_uid: UUID, key: str) -> HttpResponse:
    """One warning, looked at and left as it is, with the reason."""
    clinic = reader_clinic(request, READ, clinic_uid)
    gap = next((each for each in open_warnings(clinic) if each.key == key), None)
    if gap is None:
        raise Http404
    log_readers(request, clinic, Patient.objects.filter(uid=gap.patient_uid))
    form = SettleForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            settle_gap(
                clinic=clinic, by=request.user, key=gap.key, sentence=gap.sentence,
                **form.cleaned_data,
            )  # fmt: skip
            messages.success(request, "Settled. If the record changes there, it is asked again.")
            return redirect("gaps", clinic.uid)
        except Refused as refused:
            form.add_error("reason", str(refused))
    context = {"clinic": clinic, "gap": gap, "form": form}
    context["head_cells"] = [("Patient", gap.patient), ("Clinic", clinic.name)]
    status = 422 if form.is_bound and form.errors else 200
    return render(request, "clinic/pages/settle_gap.html", context, status=status)
