"""Rules: what the figures would be by the other rule set, and which rules make the difference."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from clinic.roles import can
from clinic.views.access import reader_clinic
from reports.addresses import quarter_address
from reports.rate_report.period_text import period_text, rolling_year
from reports.rules_page.side_by_side import figure_pairs, rule_pairs
from reports.state_text import head_cells
from reports.versions import RULE_SET
from surveillance.models import WORK_KEY, Snapshot
from surveillance.rules import RULE_SETS
from surveillance.snapshots import newest_draft, periods

DRAFT = "dashboard.clinic_draft"
OTHER = "rule_2016"


@require_safe
def rules(request: HttpRequest, clinic_uid: UUID, period: str) -> HttpResponse:
    """Drafts of the same record and day: for the clinic's own people."""
    clinic = reader_clinic(request, DRAFT, clinic_uid)
    snapshot = newest_draft(clinic, period)
    if snapshot is None:
        raise Http404
    page = _page(snapshot, _by_other_rules(snapshot), period)
    page["may_compute"] = can(request.user, "compute.draft", clinic)
    return render(request, "reports/rules.html", page)


def _by_other_rules(snapshot: Snapshot) -> Snapshot | None:
    """The same work but for its rule set."""
    same = {name: getattr(snapshot, name) for name in WORK_KEY} | {"rule_set": OTHER}
    return Snapshot.objects.filter(**same, state="draft").first()


def _page(snapshot: Snapshot, other: Snapshot | None, quarter: str) -> dict[str, Any]:
    shown = rolling_year(quarter)
    shown = shown if shown in periods(snapshot) else quarter
    figures = figure_pairs(snapshot, other, shown) if other else []
    return {
        "page_name": "Quarter", "title_detail": f"two rule sets, {shown}",
        "clinic": snapshot.clinic, "snapshot": snapshot, "other": other,
        "head_cells": head_cells(snapshot, period_text(shown)),
        "period": period_text(shown), "titles": [RULE_SETS[RULE_SET].title, RULE_SETS[OTHER].title],
        "other_rules": OTHER, "figures": figures, "rules": rule_pairs(RULE_SET, OTHER),
        "differing": sum(pair.differs for pair in figures),
        "back": quarter_address(snapshot, quarter),
    }  # fmt: skip
