"""Recount: one stored figure taken apart into its rows, its days, its formula and its limits."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from clinic.views.access import reader_snapshot
from reports.rate_report.figures import Figures
from reports.rate_report.names import MEASURES
from reports.rate_report.tables import TRAINER_SPLITS
from reports.readers import recipient_of, require_open_period, require_plain_counts
from reports.recount.page import recount_page
from surveillance.models import Snapshot

OPEN = "recount.open"


@require_safe
def recount(
    request: HttpRequest, clinic_uid: UUID, snapshot_uid: UUID, period: str, measure: str
) -> HttpResponse:
    held = Snapshot.objects.select_related("clinic")
    snapshot = reader_snapshot(request, OPEN, clinic_uid, held, snapshot_uid)
    require_open_period(request, OPEN, snapshot, period)
    require_plain_counts(request.user, OPEN, snapshot)
    row = _figure(request, snapshot, period, measure)
    return render(request, "reports/recount.html", recount_page(request, snapshot, row))


def _figure(request: HttpRequest, snapshot: Snapshot, period: str, measure: str) -> dict[str, Any]:
    """The stored row that the address names; trainers' rows only for whoever may see them."""
    split, band = request.GET.get("split", ""), request.GET.get("band", "")
    hidden = split in TRAINER_SPLITS and not recipient_of(request.user, snapshot).sees_trainers
    row = None if hidden else Figures(snapshot).row(period, measure, split, band)
    if row is None or measure not in MEASURES:
        raise Http404
    return row
