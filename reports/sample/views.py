"""Sample: n charts drawn at random with a printed seed; an auditor writes what the charts say."""

from __future__ import annotations

import re
import secrets
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from clinic.actions.refusals import Refused
from clinic.roles import can
from clinic.views.access import reader_snapshot, require
from reports.rate_report.material import report_periods
from reports.rate_report.number_text import percent_text
from reports.rate_report.period_text import period_text
from reports.rate_report.pseudonyms import pseudonym
from reports.readers import recipient_of
from reports.reading_log import log_read
from reports.sample.agreement import Agreement, agreement
from reports.sample.draw import FIELDS, Chart, draw
from reports.state_text import head_cells
from reports.versions import frozen_snapshots
from surveillance.models import Finding, Snapshot
from surveillance.snapshots.findings import record_findings

DRAW, FIND, READ, KEY = "sample.draw", "finding.record", "finding.read", "sample_key.open"
FEWEST, USUAL, MOST = 1, 10, 50
_SEED = re.compile(r"[A-Za-z0-9]{1,20}")


@require_http_methods(["GET", "HEAD", "POST"])
def sample(request: HttpRequest, clinic_uid: UUID, snapshot_uid: UUID) -> HttpResponse:
    snapshot = reader_snapshot(request, DRAW, clinic_uid, frozen_snapshots(), snapshot_uid)
    held = report_periods(snapshot, snapshot.through)
    if not held:
        raise Http404
    many, seed = _many(request), request.GET.get("seed", "")
    if not _SEED.fullmatch(seed):
        return HttpResponseRedirect(_address(request, many, secrets.token_hex(4)))
    charts = draw(snapshot, held[0], many, seed)
    refused = _written(request, snapshot, held[0], charts) if request.method == "POST" else ""
    if request.method == "POST" and not refused:
        messages.success(request, "Kept.")
        return HttpResponseRedirect(_address(request, many, seed))
    page = _page(request, snapshot, held[0], charts) | {"many": many, "seed": seed}
    status = 422 if refused else 200
    return render(request, "reports/sample.html", page | {"refused": refused}, status=status)


def _many(request: HttpRequest) -> int:
    asked = request.GET.get("n", "")
    return min(max(int(asked), FEWEST), MOST) if asked.isascii() and asked.isdigit() else USUAL


def _address(request: HttpRequest, many: int, seed: str) -> str:
    return f"{request.path}?n={many}&seed={seed}"


def _written(request: HttpRequest, snapshot: Snapshot, period: str, charts: list[Chart]) -> str:
    """Stores the one chart that was sent; what is refused comes back as a sentence."""
    require(request, FIND, snapshot)
    chart = next((one for one in charts if str(one.place) == request.POST.get("place")), None)
    if chart is None:
        raise Http404
    typed = {name: request.POST.get(name, "").strip() for name in FIELDS}
    found = {name: int(text) for name, text in typed.items() if text.isascii() and text.isdigit()}
    if not found or len(found) < sum(bool(text) for text in typed.values()):
        return f"Chart {chart.place}: write whole numbers as the chart has them, 0 if none."
    try:
        record_findings(
            snapshot=snapshot, by=request.user, period=period, patient=chart.patient,
            reported=chart.reported, found=found, comment=request.POST.get("comment", ""),
        )  # fmt: skip
    except Refused as fault:
        return f"Chart {chart.place}: {fault}"
    return ""


def _page(
    request: HttpRequest, snapshot: Snapshot, period: str, charts: list[Chart]
) -> dict[str, Any]:
    person = request.user
    findings = _findings(request, snapshot, period)
    return {
        "page_name": "Report", "clinic": snapshot.clinic, "snapshot": snapshot,
        "head_cells": head_cells(snapshot, period_text(period)),
        "period_words": period_text(period), "fields": FIELDS.items(), "most": MOST,
        "charts": _lines(request, snapshot, charts, findings),
        "may_write": can(person, FIND, snapshot),
        "agreements": [
            (words, _words(agreement(pairs)))
            for name, words in FIELDS.items()
            if (pairs := [(one.reported, one.found) for one in findings if one.field == name])
        ],
        "back": reverse("report_version", args=[snapshot.clinic.uid, snapshot.uid]),
    }  # fmt: skip


def _findings(request: HttpRequest, snapshot: Snapshot, period: str) -> list[Finding]:
    """The clinic reads every reader's, an auditor the own ones."""
    kept = snapshot.findings.filter(period=period)
    if can(request.user, READ, snapshot):  # by clinic; a record of one's own has no snapshot
        return list(kept)
    return list(kept.filter(by=request.user))


def _lines(
    request: HttpRequest, snapshot: Snapshot, charts: list[Chart], findings: list[Finding]
) -> list[dict[str, Any]]:
    """Record numbers for the clinic's own people who fetch the charts, pseudonyms for all others.

    The place is the same for both, so that the clinic finds the charts of an auditor's sample.
    """
    opens_key = can(request.user, KEY, snapshot.clinic)
    if opens_key:
        log_read(
            snapshot, by=request.user, page="sample", numbers=[one.patient for one in charts],
            source=request.META.get("REMOTE_ADDR", ""),
        )  # fmt: skip
    key = recipient_of(request.user, snapshot).key
    found = {(one.patient, one.field): one for one in findings}
    return [
        {
            "place": one.place,
            "name": one.patient if opens_key
            else pseudonym(key, snapshot.clinic.code, "patient", one.patient),
            "cells": [
                (name, words, one.reported[name], found.get((one.patient, name)))
                for name, words in FIELDS.items()
            ],
        }
        for one in charts
    ]  # fmt: skip


def _words(found: Agreement | None) -> str:
    if found is None:
        return ""
    low, high = (percent_text(limit) for limit in (found.lower, found.upper))
    share = f"{found.same} of {found.of} agree: {percent_text(found.share)}, range {low} to {high}"
    if found.kappa is None:
        return f"{share}; kappa cannot be told, every chart says the same"
    return f"{share}; kappa {found.kappa:.2f}"
