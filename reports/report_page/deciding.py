"""Preparing, returning and signing a quarter; what is refused comes back on the same page."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from clinic.actions.refusals import Refused
from clinic.models import Clinic
from clinic.views.access import reader_clinic, require
from reports.rate_report.period_text import period_text
from reports.report_page.forms import PrepareForm, ReturnForm, SignForm
from reports.report_page.listing import LIST, last_ended_quarter
from reports.report_page.views import (
    ended_quarter_or_404,
    list_page,
    open_version,
    version_page,
)
from reports.versions import versions_of
from surveillance.models import Snapshot
from surveillance.periods import parse_period
from surveillance.snapshots import (
    NotNow,
    SamePerson,
    prepare_quarter,
    return_quarter,
    sign_quarter,
)
from surveillance.words import day_text

FORBIDDEN, CONFLICT, UNPROCESSABLE = 403, 409, 422
# What an action refuses, and the status that the page then answers with.
_REFUSALS = (Refused, NotNow, SamePerson)


def _status(refusal: Exception) -> int:
    by_kind = {NotNow: CONFLICT, SamePerson: FORBIDDEN}
    found = (status for kind, status in by_kind.items() if isinstance(refusal, kind))
    return next(found, UNPROCESSABLE)


@require_http_methods(["GET", "HEAD", "POST"])
def prepare(request: HttpRequest, clinic_uid: UUID, quarter: str) -> HttpResponse:
    clinic = reader_clinic(request, LIST, clinic_uid)
    require(request, "quarter.prepare", clinic)
    if quarter > last_ended_quarter(clinic):
        return _still_running(request, clinic, quarter)
    ended_quarter_or_404(request, clinic, quarter)
    asks_reason = versions_of(clinic, quarter).filter(state="signed").exists()
    form = PrepareForm(request, request.POST or None, asks_reason=asks_reason)
    if request.method == "POST" and form.is_valid():
        return _prepared(request, clinic, quarter, form)
    status = UNPROCESSABLE if form.is_bound else 200
    return render(request, "reports/prepare.html", _page(clinic, quarter, form), status=status)


def _still_running(request: HttpRequest, clinic: Clinic, quarter: str) -> HttpResponse:
    last_day = day_text(parse_period(quarter).last_day)
    messages.error(request, f"{period_text(quarter)} ends {last_day}: prepare it after that day.")
    return render(request, "reports/report.html", list_page(request, clinic), status=CONFLICT)


def _page(clinic: Clinic, quarter: str, form: PrepareForm) -> dict[str, Any]:
    return {
        "page_name": "Report", "clinic": clinic, "quarter": quarter, "form": form,
        "head_cells": [("Clinic", clinic.name), ("Period", period_text(quarter))],
    }  # fmt: skip


def _prepared(
    request: HttpRequest, clinic: Clinic, quarter: str, form: PrepareForm
) -> HttpResponse:
    why = {name: form.cleaned_data[name] for name in ("reason", "causes") if name in form.fields}
    try:
        snapshot = prepare_quarter(clinic=clinic, quarter=quarter, by=request.user, **why)
    except _REFUSALS as refused:
        form.add_error(None, str(refused))
        page = _page(clinic, quarter, form)
        return render(request, "reports/prepare.html", page, status=_status(refused))
    messages.success(request, f"{period_text(quarter)} is prepared. Another person signs it.")
    return redirect("report_version", clinic.uid, snapshot.uid)


@require_POST
def send_back(request: HttpRequest, clinic_uid: UUID, snapshot_uid: UUID) -> HttpResponse:
    snapshot = open_version(request, clinic_uid, snapshot_uid)
    require(request, "quarter.return", snapshot)
    form = ReturnForm(request.POST)
    if not form.is_valid():
        return _again(request, snapshot, UNPROCESSABLE, return_form=form)
    try:
        return_quarter(snapshot=snapshot, by=request.user, reason=form.cleaned_data["reason"])
    except _REFUSALS as refused:
        form.add_error(None, str(refused))
        return _again(request, snapshot, _status(refused), return_form=form)
    messages.success(request, f"{period_text(snapshot.through)} went back to be prepared anew.")
    return redirect("report_version", clinic_uid, snapshot.uid)


@require_POST
def sign(request: HttpRequest, clinic_uid: UUID, snapshot_uid: UUID) -> HttpResponse:
    snapshot = open_version(request, clinic_uid, snapshot_uid)
    require(request, "quarter.sign_off", snapshot)
    form = SignForm(request, request.POST)
    if not form.is_valid():
        return _again(request, snapshot, UNPROCESSABLE, sign_form=form)
    try:
        signed = sign_quarter(
            snapshot=snapshot, by=request.user, digest=form.cleaned_data["digest"]
        )
    except _REFUSALS as refused:
        form.add_error(None, str(refused))
        return _again(request, snapshot, _status(refused), sign_form=form)
    messages.success(request, f"Signed: {period_text(signed.through)}, version {signed.version}.")
    return redirect("report_version", clinic_uid, signed.uid)


def _again(request: HttpRequest, snapshot: Snapshot, status: int, **form: Any) -> HttpResponse:
    page = version_page(request, snapshot, **form)
    return render(request, "reports/version.html", page, status=status)
