"""Has it changed? Quarters between their limits, the weekly sum, and what an alarm means."""

from __future__ import annotations

from typing import Any

from reports.charts.chart import Chart
from reports.charts.control_chart import Point, control_chart
from reports.charts.cusum_strip import cusum_strip
from reports.dashboard.material import Material
from reports.dashboard.sections.page_section import PageSection
from reports.rate_report.names import RATE
from reports.rate_report.number_text import DAYS_PER_YEAR, counted_text
from surveillance.periods import parse_period

Row = dict[str, Any]
UPPER, LOWER, CUSUM = "quarterly_rate", "quarterly_rate_low", "peritonitis_cusum"
WEEKS = 208


def section(m: Material) -> PageSection:
    charts = (_quarters(m), _sum(m)) if m.has_signals else ()
    return PageSection(
        "changed", "Has it changed?",
        "A single quarter swings. Outside its step, luck alone is a poor explanation.",
        tuple(chart for chart in charts if chart), tuple(_alarms(m)),
    )  # fmt: skip


def _of_rule(m: Material, rule: str) -> list[Row]:
    """The rows of one rule whose windows ended by the quarter's last day, in time order."""
    last = parse_period(m.quarter).last_day.isoformat()
    rows = [row for row in m.figures.signals() if row["rule"] == rule and row["window_end"] <= last]
    return sorted(rows, key=lambda row: row["window_end"])


def _quarter_of(row: Row) -> str:
    return f"{row['window_end'][:4]}-Q{(int(row['window_end'][5:7]) + 2) // 3}"


def _quarters(m: Material) -> Chart | None:
    lower = {_quarter_of(row): row for row in _of_rule(m, LOWER)}
    open_to = set(m.figures.quarters(m.quarter))
    points = [
        _point(m, row, lower.get(_quarter_of(row)))
        for row in _of_rule(m, UPPER) if _quarter_of(row) in open_to
    ]  # fmt: skip
    while points and points[0].rate is None:  # before anybody was at risk
        points.pop(0)
    if not points:
        return None
    return control_chart(points, _title(points), _NOTE, m.flags(RATE))


_NOTE = (
    "Each dot a quarter alone. Chance passes the step in 1.35 of 1,000 quarters at most; the more "
    "time at risk, the lower it is. For the eye only: in a clinic of 30 a doubled rate shows here "
    "after some two years, in the weekly sum below much sooner."
)


def _point(m: Material, row: Row, lower: Row | None) -> Point:
    quarter = _quarter_of(row)
    figure = m.figures.row(quarter, RATE)
    days = figure["denominator"] if figure else 0
    known = days and row["expected"] is not None
    centre = row["expected"] / (days / DAYS_PER_YEAR) if known else None
    return Point(quarter, row, lower, centre, m.lead(figure) if figure else "")


def _title(points: list[Point]) -> str:
    out = [one.quarter.replace("-", " ") for one in points if one.is_out]
    if not out:
        return "No single quarter lies outside what chance does."
    return f"Outside what chance does: {', '.join(out)}."


def _sum(m: Material) -> Chart | None:
    weeks = _of_rule(m, CUSUM)[-WEEKS:]
    if not m.sight.is_inside:  # a reader with some quarters sees no week outside them
        weeks = [row for row in weeks if row["window_start"] >= _first_open(m)]
    if not weeks:
        return None
    luck = next((row["false_alarms_per_year"] for row in reversed(weeks)
                 if row["false_alarms_per_year"]), None)  # fmt: skip
    often = f" Luck alone raises such an alarm about once in {1 / luck:.1f} years." if luck else ""
    note = f"Episodes add, time at risk takes away; above the line it is an alarm.{often}"
    return cusum_strip(weeks, _sum_title(m), note)


def _first_open(m: Material) -> str:
    opened = [parse_period(one).start for one in m.figures.periods]
    return min(opened).isoformat() if opened else "9999"


def _sum_title(m: Material) -> str:
    alarms = m.alarms(CUSUM)
    if not alarms:
        return "The weekly sum raised no alarm in this year."
    many = counted_text(len(alarms), "alarm", "alarms")
    return f"The weekly sum raised {many} in this year: peritonitis came faster than it should."


def _alarms(m: Material) -> list[str]:
    return [row["sentence"] for row in m.alarms(CUSUM)]
