"""What the Quarter page shows: words, pictures and tables of one stored version."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest
from django.urls import reverse

from clinic.models import Clinic
from clinic.roles import can
from reports.addresses import quarter_address
from reports.dashboard.changed import later_draft
from reports.dashboard.choose import sees_drafts
from reports.dashboard.drawn import drawn_sections
from reports.dashboard.one_chart import material_of
from reports.rate_report.figures import Figures
from reports.rate_report.period_text import period_text, quarter_ends_text, rolling_year
from reports.state_text import head_cells
from surveillance.models import Snapshot


def empty_page(clinic: Clinic, may_compute: bool) -> dict[str, Any]:
    return {
        "page_name": "Quarter", "head_cells": [("Clinic", clinic.name)], "clinic": clinic,
        "may_compute": may_compute,
    }  # fmt: skip


def quarter_page(request: HttpRequest, snapshot: Snapshot, quarter: str) -> dict[str, Any]:
    material = material_of(request, snapshot, quarter)
    figures = material.figures
    year = rolling_year(quarter)
    period = year if year in figures.periods else quarter
    return {
        "page_name": "Quarter",
        "title_detail": period_text(quarter),
        "head_cells": head_cells(snapshot, period_text(period)),
        "clinic": snapshot.clinic,
        "snapshot": snapshot,
        "quarter": quarter,
        "title": _title(quarter, is_year=period == year),
        "may_compute": can(request.user, "compute.draft", snapshot.clinic),
        "may_compare_rules": _drafts(request, snapshot),
        "drawn": drawn_sections(material),
        "changed": later_draft(snapshot, quarter) if _drafts(request, snapshot) else None,
    } | _neighbours(figures, quarter)


def _drafts(request: HttpRequest, snapshot: Snapshot) -> bool:
    return sees_drafts(request.user, snapshot.clinic)


def _title(quarter: str, is_year: bool) -> str:
    if is_year:
        return f"The year to {quarter_ends_text(quarter)} in five sentences"
    return f"{period_text(quarter)} in five sentences; four quarters are not complete yet"


def _neighbours(figures: Figures, quarter: str) -> dict[str, Any]:
    """The quarters stored just before and after, and every other one to choose from."""
    stored = figures.quarters()
    place = stored.index(quarter)
    return {
        "before": stored[place - 1] if place else "",
        "after": stored[place + 1] if place + 1 < len(stored) else "",
        "same_version": quarter_address(figures.snapshot, quarter),
        "picker": reverse("quarter", args=[figures.snapshot.clinic.uid]),
    }
