"""Measure rows as CSV or JSON: the stored bytes, for programs rather than for people."""

from __future__ import annotations

import csv
import io
from uuid import UUID

from django.http import HttpRequest, HttpResponse, HttpResponseBadRequest
from django.views.decorators.http import require_safe

from clinic.models import Clinic, Person
from clinic.roles import can, period_open, snapshots_where
from clinic.views.access import reader_clinic
from reports.downloads import file_response
from reports.rate_report.files import ReportFile, file_name
from reports.rate_report.masked import masked_table
from reports.rate_report.period_text import is_period, quarter_of
from reports.rate_report.tables import TRAINER_SPLITS
from reports.readers import is_masked, recipient_of
from reports.versions import best_snapshot, frozen_snapshots
from reports.writers.csv import csv_bytes
from surveillance.models import Snapshot
from surveillance.snapshots import periods, table_bytes

EXPORT = "measures.export"
NOT_YOURS = "period: not one of yours. Write an ended period, as 2025-Q4, 2025-Q4/4q or 2025."
NOT_ASKED = (
    "not one of yours. This address takes one parameter, period, once; the clinic stands in it."
)


@require_safe
def measures_export(request: HttpRequest, clinic_uid: UUID, ending: str) -> HttpResponse:
    clinic = reader_clinic(request, EXPORT, clinic_uid)
    if set(request.GET) - {"period"} or len(request.GET.getlist("period")) > 1:
        return _refused(NOT_ASKED)  # a filter passed over in silence would send too much
    period = request.GET.get("period", "")
    is_asked_well = is_period(period) or "period" not in request.GET
    snapshot = _snapshot(request.user, clinic, period) if is_asked_well else None
    if snapshot is None:
        return _refused(NOT_YOURS)
    file = _FORMATS[ending](request.user, snapshot, period)
    how = "masked" if is_masked(request.user, EXPORT, snapshot) else "plain"
    return file_response(request, snapshot, file, how)


def _refused(sentence: str) -> HttpResponse:
    return HttpResponseBadRequest(f"{sentence}\n", content_type="text/plain; charset=utf-8")


def _snapshot(person: Person, clinic: Clinic, period: str) -> Snapshot | None:
    """The best version that holds the period and is open to this person."""
    if can(person, "dashboard.clinic_draft", clinic):
        return best_snapshot(clinic, quarter_of(period), period)  # no period: the whole draft
    held = frozen_snapshots().filter(clinic=clinic, through=_last_quarter(period))
    found = snapshots_where(person, EXPORT, held).order_by("-version").first()
    if found is None or period not in periods(found):
        return None
    return found if period_open(person, EXPORT, found, period) else None


def _last_quarter(period: str) -> str:
    """A calendar year stands in the version of its last quarter."""
    return f"{period}-Q4" if len(period) == 4 else quarter_of(period)


def _csv(person: Person, snapshot: Snapshot, period: str) -> ReportFile:
    content, rows = _content(person, snapshot, period)
    return ReportFile(_name(snapshot, period, "csv"), content, rows)


def _json(person: Person, snapshot: Snapshot, period: str) -> ReportFile:
    """An array of one object a row, as the command export_measures writes it."""
    from surveillance.export import json_text  # brings pandas, which few requests need

    content, rows = _content(person, snapshot, period)
    body = content.decode().partition("\n")[2]
    text = "".join(json_text("measures", [body]))
    return ReportFile(_name(snapshot, period, "json"), text.encode(), rows)


def _name(snapshot: Snapshot, period: str, ending: str) -> str:
    return file_name(snapshot, "measures", period or "all", ending)


def _content(person: Person, snapshot: Snapshot, period: str) -> tuple[bytes, int]:
    """The stored bytes; masked or without trainer rows for whoever may not see more."""
    if is_masked(person, EXPORT, snapshot):
        table = masked_table(snapshot, period)
        return csv_bytes(table.columns, table.rows), len(table.rows)
    content = table_bytes(snapshot, "measures", period)
    rows = list(csv.reader(io.StringIO(content.decode(), newline="")))
    if recipient_of(person, snapshot).sees_trainers:
        return content, len(rows) - 1
    split = rows[0].index("split")
    kept = [row for row in rows if row[split] not in TRAINER_SPLITS]
    out = io.StringIO(newline="")
    csv.writer(out, lineterminator="\n").writerows(kept)
    return out.getvalue().encode(), len(kept) - 1


_FORMATS = {"csv": _csv, "json": _json}
