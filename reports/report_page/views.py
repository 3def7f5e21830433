"""Report: the quarters and their versions; a person prepares, another signs."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from clinic.models import Clinic
from clinic.roles import can
from clinic.views.access import reader_clinic, reader_snapshot
from reports.rate_report.period_text import period_text
from reports.readers import require_plain_counts
from reports.report_page.disputed import disputed
from reports.report_page.downloads import FULL, OUTSIDE
from reports.report_page.files_offered import offers
from reports.report_page.forms import ReturnForm, SignForm
from reports.report_page.listing import LIST, quarters, version
from reports.report_page.restated import restated_page, signer_text, superseded_by
from reports.state_text import head_cells
from reports.versions import frozen_snapshots
from surveillance.models import Snapshot


@require_safe
def report(request: HttpRequest, clinic_uid: UUID) -> HttpResponse:
    clinic = reader_clinic(request, LIST, clinic_uid)
    return render(request, "reports/report.html", list_page(request, clinic))


def list_page(request: HttpRequest, clinic: Clinic) -> dict[str, Any]:
    return {
        "page_name": "Report",
        "head_cells": [("Clinic", clinic.name), ("Rules", "2022")],
        "clinic": clinic,
        "quarters": quarters(request.user, clinic),
        "may_prepare": can(request.user, "quarter.prepare", clinic),
        "may_compute": can(request.user, "compute.draft", clinic),
        "sees_drafts": can(request.user, "rate_report.draft", clinic),
    }


def open_version(request: HttpRequest, clinic_uid: UUID, snapshot_uid: UUID) -> Snapshot:
    """A frozen version that the person may read; 404 for every other."""
    snapshot = reader_snapshot(request, LIST, clinic_uid, frozen_snapshots(), snapshot_uid)
    require_plain_counts(request.user, LIST, snapshot)
    return snapshot


@require_safe
def report_version(request: HttpRequest, clinic_uid: UUID, snapshot_uid: UUID) -> HttpResponse:
    snapshot = open_version(request, clinic_uid, snapshot_uid)
    return render(request, "reports/version.html", version_page(request, snapshot))


def version_page(request: HttpRequest, snapshot: Snapshot, **forms: Any) -> dict[str, Any]:
    """The page of one version; a form that was refused stands in it as it was typed."""
    person, is_open = request.user, snapshot.state == "prepared"
    inside, full = (can(person, one, snapshot) for one in ("rate_report.draft", FULL))
    return {
        "page_name": "Report",
        "head_cells": head_cells(snapshot, period_text(snapshot.through)),
        "clinic": snapshot.clinic,
        "snapshot": snapshot,
        "version": version(snapshot, with_names=inside),
        "inside": inside,
        "disputed": disputed(request, snapshot) if full else [],
        "offers": offers(snapshot, snapshot.through, full, can(person, OUTSIDE, snapshot)),
        "full": full,
        "may_draw": can(person, "sample.draw", snapshot),
        "may_sign": is_open and can(person, "quarter.sign_off", snapshot),
        "is_own": snapshot.prepared_by_id == person.pk,
        "may_return": is_open and can(person, "quarter.return", snapshot),
        "sign_form": SignForm(request, initial={"digest": snapshot.digest}),
        "return_form": ReturnForm(),
        "restated": restated_page(snapshot, can(person, "recount.open", snapshot)),
        "superseded_by": superseded_by(snapshot),
        "signer_said": signer_text(snapshot),
    } | forms


def ended_quarter_or_404(request: HttpRequest, clinic: Clinic, quarter: str) -> None:
    if quarter not in {one.quarter for one in quarters(request.user, clinic)}:
        raise Http404
