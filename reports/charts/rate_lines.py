"""Stored rates as lying lines: counted, patient-years and rate at the right."""

from __future__ import annotations

from collections.abc import Sequence

from reports.charts.chart import Lead, Row, nowhere
from reports.charts.lying_layout import Axis, Line
from reports.charts.rate_table import is_open, shown_rate, spoken_rate
from reports.rate_report.names import band_text
from reports.rate_report.number_text import rate_text

HEADS = ("counted", "patient-years", "rate")
SAYS = "counted episodes per patient-year"


def rate_line(row: Row, lead: Lead = nowhere, name: str = "", group: str = "") -> Line:
    """One band of a rate; too little time says so in place of the rate."""
    said = name or band_text(row["split"], row["band"])
    counted, _, years, value, *_ = shown_rate(row)
    told = "too little time" if is_open(row) else value
    return Line(
        said, row, (counted, years, told), spoken_rate(said, row),
        f"{counted} in {years} patient-years: {told}", lead(row), group,
        is_apart=row["band"] == "none_recorded",
    )  # fmt: skip


def rate_axis(high: float, whole: Row | None, step: float = 0.4, says: str = SAYS) -> Axis:
    """With the rate of all patients as one dashed line."""
    value = whole["value"] if whole else None
    label = "" if value is None else f"all patients {rate_text(value)}"
    return Axis(high, step, says, lambda tick: f"{tick:.1f}", HEADS, value, label)


def group_of(rows: Sequence[Row], name: str, lead: Lead) -> list[Line]:
    """The bands of one split under its name."""
    return [rate_line(row, lead, group="" if place else name) for place, row in enumerate(rows)]
