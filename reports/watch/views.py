"""Watch: the page, one signal with its cases, the numbers of its pictures, how a signal works."""

from __future__ import annotations

from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from clinic.models import Clinic
from clinic.views.access import reader_clinic
from reports.charts.chart import Chart
from reports.downloads import file_response
from reports.rate_report.files import ReportFile
from reports.rate_report.pseudonyms import pseudonymised_cases
from reports.rate_report.tables import stored_table
from reports.watch.cases import window_cases
from reports.watch.lines import line_name
from reports.watch.page import head_cells, page, pictures
from reports.watch.rules_text import RULES
from reports.watch.sight import READ, Watched, watched
from reports.watch.signal_page import signal_page
from reports.watch.standing import Signal
from reports.watch.worth import worths
from reports.writers.csv import csv_bytes


@require_safe
def watch(request: HttpRequest, clinic_uid: UUID) -> HttpResponse:
    seen = watched(request, reader_clinic(request, READ, clinic_uid))
    return render(request, "reports/watch.html", page(request.user, seen))


def signal_in_sight(seen: Watched, rule: str, band: str, raised: str) -> Signal:
    found = next((one for one in seen.signals if one.key == (rule, band, raised)), None)
    if found is None:
        raise Http404
    return found


def opened(
    request: HttpRequest, clinic_uid: UUID, rule: str, band: str, raised: str
) -> tuple[Watched, Signal]:
    """A signal that this person may open; an outside reader of sums opens none."""
    clinic: Clinic = reader_clinic(request, READ, clinic_uid)
    seen = watched(request, clinic)
    if seen.is_masked:
        raise Http404
    return seen, signal_in_sight(seen, rule, band, raised)


@require_safe
def signal(
    request: HttpRequest, clinic_uid: UUID, rule: str, band: str, raised: str
) -> HttpResponse:
    seen, found = opened(request, clinic_uid, rule, band, raised)
    return render(request, "reports/signal.html", signal_page(request, seen, found))


@require_safe
def signal_rows(
    request: HttpRequest, clinic_uid: UUID, rule: str, band: str, raised: str
) -> HttpResponse:
    """The stored case rows of a signal as a CSV, under pseudonyms as every file of ours."""
    seen, found = opened(request, clinic_uid, rule, band, raised)
    if not seen.sees_episodes or seen.snapshot is None:
        raise Http404
    columns = stored_table(seen.snapshot, "cases").columns
    cases = [line.case for line in window_cases(seen.snapshot, found)]
    heads, rows = pseudonymised_cases(columns, cases, str(request.user.uid))
    name = f"signal-{found.rule}-{found.band or 'all'}-{found.raised_on}.csv"
    file = ReportFile(name, csv_bytes(heads, rows), len(rows))
    return file_response(request, seen.snapshot, file, how="pseudonyms")


@require_safe
def watch_numbers(request: HttpRequest, clinic_uid: UUID, chart: str) -> HttpResponse:
    """The numbers of one picture."""
    seen = watched(request, reader_clinic(request, READ, clinic_uid))
    found: Chart | None = next((one for one in pictures(seen) if one.name == chart), None)
    if found is None or seen.snapshot is None:
        raise Http404
    heads = found.row_columns or found.columns
    rows = [
        dict(zip(heads, ["" if cell is None else str(cell) for cell in row], strict=True))
        for row in found.rows
    ]
    file = ReportFile(f"watch-{chart}.csv", csv_bytes(heads, rows), len(rows))
    return file_response(request, seen.snapshot, file)


@require_safe
def signal_rule(request: HttpRequest, clinic_uid: UUID, rule: str) -> HttpResponse:
    """How a signal decides, how often it errs, how soon it finds a change."""
    if rule not in RULES:
        raise Http404
    seen = watched(request, reader_clinic(request, READ, clinic_uid))
    context = {
        "page_name": "Watch", "title_detail": RULES[rule].name, "rule": RULES[rule],
        "name": line_name(rule, ""), "clinic": seen.clinic, "head_cells": head_cells(seen),
        "key": rule, "worths": worths(rule),
    }  # fmt: skip
    return render(request, "reports/signal_rule.html", context)
