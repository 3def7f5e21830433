"""The files of one version, for the person who asks and nobody else."""

from __future__ import annotations

from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from clinic.views.access import reader_snapshot
from reports.downloads import file_response
from reports.rate_report.files import (
    OUTSIDE_REPORT,
    RATE_REPORT,
    ReportFile,
    rate_report_file,
    table_file,
)
from reports.rate_report.tables import TABLES, Recipient
from reports.readers import outside_recipient, recipient_of, require_open_period
from surveillance.models import Snapshot
from surveillance.snapshots import periods

FULL, OUTSIDE = "rate_report.full", "rate_report.outside"
# Tables that list single patients go out with pseudonyms, to the clinic's own people too.
_LISTS = ("cases", "ledger")


@require_safe
def report_file(
    request: HttpRequest, clinic_uid: UUID, snapshot_uid: UUID, what: str, period: str, ending: str
) -> HttpResponse:
    capability = OUTSIDE if what == OUTSIDE_REPORT else FULL
    held = Snapshot.objects.select_related("clinic")
    snapshot = reader_snapshot(request, capability, clinic_uid, held, snapshot_uid)
    require_open_period(request, capability, snapshot, period)
    if period not in periods(snapshot):
        raise Http404
    if what == OUTSIDE_REPORT:
        to = outside_recipient(request.user, snapshot)
        file = rate_report_file(snapshot, period, ending, to)
        return file_response(request, snapshot, file, how="masked")
    file = _file(snapshot, what, period, ending, recipient_of(request.user, snapshot))
    is_list = what in _LISTS or what == RATE_REPORT
    return file_response(request, snapshot, file, how="pseudonyms" if is_list else "plain")


def _file(snapshot: Snapshot, what: str, period: str, ending: str, to: Recipient) -> ReportFile:
    if what == RATE_REPORT:
        return rate_report_file(snapshot, period, ending, to)
    if what not in TABLES or ending != "csv" or not _is_stored(snapshot, what, period):
        raise Http404
    return table_file(snapshot, what, period, to)


def _is_stored(snapshot: Snapshot, what: str, period: str) -> bool:
    return snapshot.tables.filter(table=what, period=period).exists()
