"""The rate over time as an interactive figure's plain data."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from reports.charts.chart import Row
from reports.rate_report.period_text import period_text

ACCENT, INK, QUIET = "#43389b", "#171c26", "#7d8796"


def rate_figure(pairs: Sequence[tuple[Row, Row | None]]) -> dict[str, Any]:
    rows = [row for row, _ in pairs]
    dots = [dot for _, dot in pairs]
    names = [period_text(row["period"]) for row in rows]
    alone = [dot["value"] if dot else None for dot in dots]
    goals = [row["target"] for row in rows]
    data = [
        points("Four quarters", "y", names, rows),
        {"type": "scatter", "mode": "markers", "name": "Quarter alone", "x": names, "y": alone,
         "marker": {"color": QUIET, "size": 5}},
        {"type": "scatter", "mode": "lines", "name": "Target", "x": names, "y": goals,
         "line": {"color": ACCENT, "dash": "dash", "width": 1.25}},
    ]  # fmt: skip
    return {"data": data, "layout": rate_layout("yaxis")}


def points(name: str, along: str, names: list[str], rows: Sequence[Row]) -> dict[str, Any]:
    """Points with ranges along `x` or `y`; what nobody was at risk for stays a gap."""
    values = [row["value"] for row in rows]
    other = "x" if along == "y" else "y"
    return {
        "type": "scatter", "mode": "markers", "name": name, along: values, other: names,
        f"error_{along}": {
            "type": "data", "symmetric": False, "thickness": 1.75,
            "array": [_reach(row, "upper", "value") for row in rows],
            "arrayminus": [_reach(row, "value", "lower") for row in rows],
        },
        "customdata": [[row[key] for key in _KEPT] for row in rows],
        "marker": {"color": INK, "size": 10},
    }  # fmt: skip


_KEPT = ("numerator", "denominator", "value", "lower", "upper")


def _reach(row: Row, high: str, low: str) -> float | None:
    return None if row["value"] is None else row[high] - row[low]


def rate_layout(axis: str) -> dict[str, Any]:
    title = {"text": "counted episodes per patient-year"}
    return {axis: {"title": title, "rangemode": "tozero"}, "showlegend": False}
