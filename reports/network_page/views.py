"""The network's clinics beside each other, for its officer and, coded, for a director."""

from __future__ import annotations

from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from clinic.views.access import reader_clinic
from reports.network_page.clinics import NETWORK, beside
from reports.network_page.page import Compared, charts
from reports.rate_report.period_text import period_text, rolling_year


@require_safe
def network(request: HttpRequest, clinic_uid: UUID, period: str) -> HttpResponse:
    clinic = reader_clinic(request, NETWORK, clinic_uid)
    if not clinic.network:
        raise Http404
    found = beside(request.user, clinic, period)
    page = {
        "page_name": "Quarter", "title_detail": f"{clinic.network}, {period_text(period)}",
        "head_cells": [("Network", clinic.network), ("Period", period_text(rolling_year(period)))],
        "clinic": clinic, "quarter": period, "is_coded": found.is_coded,
        "charts": charts(Compared(found, period)),
        "quarters": [] if found.is_coded else found.versions,
    }  # fmt: skip
    return render(request, "reports/network.html", page)
