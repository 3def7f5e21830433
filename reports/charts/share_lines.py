"""Shares as lying lines, whether stored as measure rows or as estimate rows."""

from __future__ import annotations

from typing import Any

from reports.charts.chart import Lead, Row, nowhere
from reports.charts.lying_layout import Axis, Line
from reports.charts.share_table import NOTHING, shown_share, spoken_share
from reports.rate_report.number_text import percent_text

HEADS, SHARE_ONLY = ("those", "of", "share"), ("share",)


def share_line(row: Row, name: str, lead: Lead = nowhere, group: str = "") -> Line:
    """A measure row: how many of how many, its target as a tick."""
    those, of, value, *_ = shown_share(row)
    brief = f"{those} of {of}, {value}" if row["denominator"] else NOTHING
    return Line(
        name, row, (those, of, value), spoken_share(name, row), brief, lead(row), group,
        target=row["target"],
    )  # fmt: skip


def estimate_line(
    estimate: dict[str, Any], name: str, group: str = "", heads: tuple[str, ...] = HEADS
) -> Line:
    """An estimate row: its share and range; the counts behind it are not stored."""
    row = as_row(estimate)
    value = "not known" if row["value"] is None else percent_text(row["value"])
    note = estimate["note"] or ""
    spoken = f"{name}: {value}{_range(row)}{'; ' + note if note else ''}."
    cells = (*("" for _ in heads[1:]), value)
    return Line(name, row, cells, spoken, f"{value}{_range(row)}", "", group)


def _range(row: Row) -> str:
    if row["lower"] is None:
        return ""
    low, high = (percent_text(row[limit]) for limit in ("lower", "upper"))
    return f", range {low.removesuffix(' %')} to {high}"


def as_row(estimate: dict[str, Any]) -> Row:
    """An estimate as a drawing wants it; limits that are not stored fall on the value."""
    value = estimate["value"]
    limits = {name: value if estimate[name] is None else estimate[name] for name in _LIMITS}
    return {
        "period": estimate["period"], "split": estimate["split"], "band": estimate["band"] or "",
        "measure": estimate["name"], "numerator": None, "denominator": None,
        "denominator_unit": "", "value": value, "target": None, "verdict": "", **limits,
    }  # fmt: skip


_LIMITS = ("lower", "upper")


def share_axis(says: str = "share", heads: tuple[str, ...] = HEADS) -> Axis:
    return Axis(1.0, 0.2, says, percent_text, heads)
