"""Compute now: ask for the clinic's figures and watch the work until they are stored."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse, HttpResponseBadRequest
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from clinic.views.access import get_in_sight, reader_clinic
from surveillance import jobs
from surveillance.models import Computation
from surveillance.rules import DEFAULT_RULE_SET, RULE_SETS

COMPUTE = "compute.draft"
LOOK_AGAIN_SECONDS = 2
_OPEN = ("waiting", "running")
_FINDINGS = {
    "waiting": "Waiting for a free worker.",
    "running": "Computing the clinic’s figures.",
    "done": "The figures are computed.",
    "failed": "The figures could not be computed.",
}


@require_POST
def compute_now(request: HttpRequest, clinic_uid: UUID) -> HttpResponse:
    clinic = reader_clinic(request, COMPUTE, clinic_uid)
    rule_set = request.POST.get("rule_set", DEFAULT_RULE_SET)
    if rule_set not in RULE_SETS:
        return HttpResponseBadRequest(f"rule_set: {' or '.join(RULE_SETS)}")
    asked = jobs.ask(clinic=clinic, by=request.user, rule_set=rule_set)
    return redirect("computation", clinic.uid, asked.uid)


@require_safe
def computation(request: HttpRequest, clinic_uid: UUID, computation_uid: UUID) -> HttpResponse:
    """Looks again by itself, without script, as long as the work goes on."""
    clinic = reader_clinic(request, COMPUTE, clinic_uid)
    asked = get_in_sight(request, clinic.computations.select_related("clinic"), computation_uid)
    response = render(request, "surveillance/computation.html", _page(asked))
    if asked.state in _OPEN:
        response["Refresh"] = str(LOOK_AGAIN_SECONDS)
    return response


def _page(asked: Computation) -> dict[str, Any]:
    return {
        "page_name": "Quarter",
        "title_detail": "computing",
        "clinic": asked.clinic,
        "computation": asked,
        "finding": _FINDINGS[asked.state],
        "is_open": asked.state in _OPEN,
        "head_cells": [("Clinic", asked.clinic.name), ("State", asked.state)],
    }
