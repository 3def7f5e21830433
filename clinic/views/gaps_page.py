"""What the Gaps page lists, a page of each list at a time."""

from __future__ import annotations

from typing import Any

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from clinic.catalogue import organism_names
from clinic.clock import today
from clinic.forms.gap_forms import NameForm, name_forms
from clinic.gaps import missing_fields, open_warnings
from clinic.local_names import unlisted_names
from clinic.models import Clinic, LocalOrganismName, Patient
from clinic.reading import day_text
from clinic.roles import can
from clinic.views.access import log_readers

PAGE_SIZE = 25


def gaps_page(request: HttpRequest, clinic: Clinic, faulty: NameForm | None = None) -> HttpResponse:
    context = {**_lists(request, clinic), **_names(request, clinic, faulty)}
    context["finding"] = _finding(
        context["warnings"].paginator.count, context["missing"].paginator.count,
        len(context["names"]),
    )  # fmt: skip
    shown = {gap.patient_uid for gap in context["warnings"]}
    shown |= {each.uid for each in context["missing"]}
    log_readers(request, clinic, Patient.objects.filter(uid__in=shown))
    status = 422 if faulty else 200
    return render(request, "clinic/pages/gaps.html", context, status=status)


def _lists(request: HttpRequest, clinic: Clinic) -> dict[str, Any]:
    warnings = Paginator(open_warnings(clinic), PAGE_SIZE)
    missing = Paginator(missing_fields(clinic), PAGE_SIZE)
    return {
        "clinic": clinic,
        "warnings": warnings.get_page(request.GET.get("warnings")),
        "missing": missing.get_page(request.GET.get("missing")),
        "may_write": can(request.user, "episode.record", clinic),
        "head_cells": [("Clinic", clinic.name), ("Day", day_text(today(clinic)))],
    }


def _names(request: HttpRequest, clinic: Clinic, faulty: NameForm | None) -> dict[str, Any]:
    return {
        "names": name_forms(unlisted_names(clinic), faulty),
        "mapped": LocalOrganismName.objects.filter(clinic=clinic).select_related("by"),
        "may_map": can(request.user, "organism.map_local_name", clinic),
        "organism_names": organism_names(),
    }


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
