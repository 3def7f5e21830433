"""Data trust: what missing fields could do to the figures, and how late episodes are entered."""

from __future__ import annotations

from typing import Any

from django.urls import reverse

from reports.charts.chart import Chart
from reports.charts.lying_figures import Words, lying_figures
from reports.charts.lying_layout import Line
from reports.charts.rate_lines import rate_axis
from reports.charts.scale import roof
from reports.charts.share_lines import SHARE_ONLY, as_row, estimate_line, share_axis
from reports.charts.training_clock import LEAST, MOST, STEP
from reports.dashboard.material import Material
from reports.dashboard.sections.page_section import PageSection
from reports.rate_report.names import MEASURES, RATE
from reports.rate_report.number_text import rate_text, whole_text, years_text

Row = dict[str, Any]

_RATES = (RATE, "exit_site_infection_rate", "tunnel_infection_rate")
_DAYS = ("7", "14", "28", "60")


def section(m: Material) -> PageSection:
    charts = (_bounds(m), _lateness(m))
    return PageSection(
        "trust", "Data trust",
        "From the lowest to the highest figure that the missing fields allow: no interval.",
        tuple(chart for chart in charts if chart),
        links=_links(m),
    )  # fmt: skip


def _links(m: Material) -> tuple[tuple[str, str], ...]:
    """Restated quarters and open actions stand on pages of their own."""
    place = [m.snapshot.clinic.uid]
    versions = ("Versions and restatements", reverse("report", args=place))
    if not m.sight.is_inside:
        return (versions,)
    open_actions = ("Open actions with owner and review date", reverse("decisions", args=place))
    return (versions, open_actions)


def _bound_rows(m: Material, measure: str) -> tuple[Row, Row] | None:
    low, high = (m.figures.estimate(m.year, f"{measure}_{end}") for end in ("lowest", "highest"))
    if low is None or high is None or low["value"] is None or high["value"] is None:
        return None
    return low, high


def _line(m: Material, measure: str) -> Line | None:
    row, bounds = m.figures.row(m.year, measure), _bound_rows(m, measure)
    if row is None or bounds is None or not row["denominator"]:
        return None
    low, high = bounds
    limits = {"value": row["value"], "lower": low["value"], "upper": high["value"]}
    counted, years = whole_text(row["numerator"]), years_text(row["denominator"])
    told = f"{rate_text(low['value'])} to {rate_text(high['value'])}"
    why = "; ".join(filter(None, (low["note"], high["note"]))) or "nothing is missing"
    name = MEASURES[measure].title
    spoken = f"{name}: {rate_text(row['value'])}, from {told}; {why}."
    return Line(name, row | limits, (counted, years, told), spoken, told, m.lead(row))


def _bounds(m: Material) -> Chart | None:
    lines = [line for measure in _RATES if (line := _line(m, measure))]
    if not lines:
        return None
    axis = rate_axis(
        roof([one.row for one in lines], STEP, LEAST, MOST), None, says="per patient-year"
    )
    missing = [one for one in lines if one.row["lower"] != one.row["upper"]]
    title = "No missing field can change a rate of this year."
    if missing:
        title = (
            f"{missing[0].name} could lie anywhere from {missing[0].cells[-1]}: fields are missing."
        )
    return lying_figures(lines, axis, Words("completeness", title, "Bounds", _WHY))


_WHY = "Whiskers are bounds: the figure if every missing field were the kinder or the harsher one."


def _lateness(m: Material) -> Chart | None:
    found = [m.figures.estimate(m.year, "peritonitis_entered_share", "days_since_onset", days)
             for days in _DAYS]  # fmt: skip
    rows = [row for row in found if row and row["value"] is not None]
    if not rows:
        return None
    lines = [estimate_line(row, f"within {row['band']} days", "", SHARE_ONLY) for row in rows]
    late = as_row(rows[-1])["value"]
    title = (
        f"{late * 100:.0f} % of the year’s episodes were entered within {rows[-1]['band']} days."
    )
    words = Words("lateness", title, "Share entered in time", rows[0]["note"].capitalize())
    return lying_figures(lines, share_axis("share of the episodes entered", SHARE_ONLY), words)
