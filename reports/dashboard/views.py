"""Quarter: five sentences, then rate, training clock and organisms, of one stored version."""

from __future__ import annotations

from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_safe

from clinic.models import Clinic
from clinic.roles import can, conditions
from clinic.views.access import reader_clinic
from reports.dashboard.choose import FROZEN, last_quarter, sees_drafts, version_for
from reports.dashboard.numbers import numbers_file
from reports.dashboard.page import empty_page, quarter_page
from reports.dashboard.picture_files import picture_file
from reports.dashboard.repeat_patients import REPEAT, repeat_patients_page
from reports.downloads import file_response
from reports.readers import require_open_period, require_plain_counts
from surveillance.models import Snapshot


@require_safe
def quarter(request: HttpRequest, clinic_uid: UUID, period: str = "") -> HttpResponse:
    clinic = reader_clinic(request, FROZEN, clinic_uid)
    asked = period or last_quarter(request.user, clinic)
    if not asked:
        page = empty_page(clinic, may_compute=can(request.user, "compute.draft", clinic))
        return render(request, "reports/quarter_empty.html", page)
    if "masked" in conditions(request.user, FROZEN, clinic):  # a network officer
        return redirect("network", clinic.uid, asked)
    snapshot = _version(request, clinic, asked)
    return render(request, "reports/quarter.html", quarter_page(request, snapshot, asked))


def _version(request: HttpRequest, clinic: Clinic, period: str) -> Snapshot:
    snapshot = version_for(request, clinic, period)
    if snapshot is None:
        raise Http404
    if not sees_drafts(request.user, clinic):
        require_open_period(request, FROZEN, snapshot, period)
        require_plain_counts(request.user, FROZEN, snapshot)
    return snapshot


@require_safe
def chart_picture(
    request: HttpRequest, clinic_uid: UUID, period: str, chart: str, ending: str
) -> HttpResponse:
    """One drawing for slides, with the rights of its page."""
    clinic = reader_clinic(request, FROZEN, clinic_uid)
    snapshot = _version(request, clinic, period)
    return file_response(request, snapshot, picture_file(request, snapshot, period, chart, ending))


@require_safe
def repeat_patients(request: HttpRequest, clinic_uid: UUID, period: str) -> HttpResponse:
    """Patients with several episodes, by record number: for the clinic's own people alone."""
    clinic = reader_clinic(request, REPEAT, clinic_uid)
    page = repeat_patients_page(request, _version(request, clinic, period), period)
    return render(request, "reports/repeat_patients.html", page)


@require_safe
def section_numbers(
    request: HttpRequest, clinic_uid: UUID, period: str, section: str
) -> HttpResponse:
    """The measure rows behind one picture, as they are stored."""
    clinic = reader_clinic(request, FROZEN, clinic_uid)
    snapshot = _version(request, clinic, period)
    return file_response(request, snapshot, numbers_file(request, snapshot, period, section))
