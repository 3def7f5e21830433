"""The Patient and Episode pages: what the method says now, around the record's forms."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from clinic.actions.rights import JUDGED, RIGHTS, amendable
from clinic.blinding import is_hidden
from clinic.clock import today
from clinic.patient_file import history, row_tables
from clinic.roles import can
from clinic.views.in_sight import episode_in_sight, patient_in_sight
from surveillance import patient_page
from surveillance.episode_beside import beside, recorded
from surveillance.episode_page import infection_page, peritonitis_page
from surveillance.live import live
from surveillance.patient_checks import exit_site_checks, observations
from surveillance.second_judgement import second_judgement
from surveillance.strip import strip, twelve_months_before


@require_safe
def patient(request: HttpRequest, clinic_uid: UUID, uid: UUID) -> HttpResponse:
    found = patient_in_sight(request, clinic_uid, uid)
    clinic = found.clinic
    now = live(found, today(clinic))
    since = twelve_months_before(now.as_of) if request.GET.get("view") == "year" else None
    events = patient_page.events(found, now, clinic.zone)
    context = {
        "clinic": clinic,
        "patient": found,
        "finding": patient_page.finding(now),
        "lead": patient_page.lead(found, now),
        "strip": strip(list(patient_page.spans(found)), list(events), now.as_of, since),
        "is_year": since is not None,
        "tables": list(row_tables(found)),
        "exit_site_checks": exit_site_checks(found),
        "observations": observations(found),
        "withdrawn": _withdrawn(request, found),
        "episodes": patient_page.episode_links(found, now),
        "may": _may(request, found),
        "head_cells": patient_page.head_cells(found, now),
        "title_detail": found.number,
    }
    return render(request, "surveillance/patient.html", context)


@require_safe
def episode(request: HttpRequest, clinic_uid: UUID, uid: UUID) -> HttpResponse:
    row = episode_in_sight(request, clinic_uid, uid)
    now = live(row.patient, today(row.patient.clinic))
    open_fields = amendable(request.user, row)
    is_peritonitis = row.subject.name == "peritonitis"
    page = peritonitis_page if is_peritonitis else infection_page
    may, hidden = _may(request, row.patient), is_hidden(row, request.user)
    context = {
        "clinic": row.patient.clinic,
        "patient": row.patient,
        "row": row,
        "changes": history(row, request.user),
        "may": may,
        "beside": beside(row, may, hidden) if is_peritonitis else recorded(row),
        "second": second_judgement(row, request.user) if is_peritonitis else None,
        "may_dissent": is_peritonitis and can(request.user, "episode.override_class", row),
        "may_amend": bool(open_fields),
        "full": len(open_fields) > len(JUDGED),
        "page_name": "Episode",
        **page(row, now),
    }
    return render(request, "surveillance/episode.html", context)


def _withdrawn(request: HttpRequest, patient: Any) -> list[Any]:
    """Episodes entered in error, for who may bring one back."""
    if not can(request.user, "episode.restore", patient):
        return []
    return [
        *patient.peritonitis_rows.filter(withdrawn_at__isnull=False),
        *patient.catheterinfection_rows.filter(withdrawn_at__isnull=False),
    ]


def _may(request: HttpRequest, thing: Any) -> dict[str, bool]:
    """Which forms this person may open: by subject to amend, with `new_` before it to add."""
    may = {}
    for subject, rights in RIGHTS.items():
        may[subject] = can(request.user, rights.amend, thing)
        may[f"new_{subject}"] = can(request.user, rights.record, thing)
    return may
