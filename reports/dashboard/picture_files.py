"""One drawing of Quarter as a file for slides: SVG, or PNG of the same text."""

from __future__ import annotations

from django.http import HttpRequest

from reports.charts.exported import Frame, exported_svg
from reports.dashboard.material import Material
from reports.dashboard.one_chart import chart_in, material_of
from reports.rate_report.definitions import definitions
from reports.rate_report.files import ReportFile, file_name
from reports.rate_report.names import RATE
from reports.rate_report.number_text import years_text
from reports.rate_report.period_text import period_text
from reports.state_text import frozen_text, state_words
from reports.writers.png import png_bytes
from surveillance.models import Snapshot


def picture_file(
    request: HttpRequest, snapshot: Snapshot, quarter: str, chart: str, ending: str
) -> ReportFile:
    material = material_of(request, snapshot, quarter)
    svg = exported_svg(chart_in(material, chart), _frame(material))
    content = png_bytes(svg) if ending == "png" else svg.encode()
    return ReportFile(file_name(snapshot, chart, quarter, ending), content, 1)


def _frame(m: Material) -> Frame:
    period = m.year if m.year in m.figures.periods else m.quarter
    row = m.figures.row(period, RATE)
    years = years_text(row["denominator"]) if row else "0.0"
    return Frame(
        m.snapshot.clinic.name, period_text(period), f"{years} patient-years at risk",
        f"Rules: {definitions(m.snapshot.rule_set).title}", frozen_text(m.snapshot),
        state_words(m.snapshot),
    )  # fmt: skip
