"""One chart of Quarter by its name, as one reader may see it."""

from __future__ import annotations

from functools import cache

from django.http import Http404, HttpRequest

from reports.charts.chart import Chart
from reports.dashboard.material import Material
from reports.dashboard.sections import SECTIONS
from reports.dashboard.sight import sight_of
from reports.decision_flags import decision_flags
from reports.rate_report.figures import Figures
from reports.readers import open_periods
from surveillance.models import Snapshot


def material_of(request: HttpRequest, snapshot: Snapshot, quarter: str) -> Material:
    """The stored rows that this reader may see."""
    figures = Figures(snapshot, open_periods(request.user, snapshot, quarter))
    flags = cache(decision_flags(request.user, snapshot.clinic))
    return Material(figures, quarter, sight_of(request.user, snapshot), flags)


def chart_of(request: HttpRequest, snapshot: Snapshot, quarter: str, name: str) -> Chart:
    return chart_in(material_of(request, snapshot, quarter), name)


def chart_in(material: Material, name: str) -> Chart:
    charts = (chart for section in SECTIONS for chart in section(material).charts)
    found = next((chart for chart in charts if chart.name == name), None)
    if found is None:
        raise Http404
    return found
