"""The rate of four quarters together, quarter by quarter, against its target."""

from __future__ import annotations

from collections.abc import Sequence

from reports.charts.chart import Cell, Chart, Row
from reports.charts.rate_figure import rate_figure
from reports.charts.rate_layout import NARROW_SHEET, WIDE_SHEET, drawn
from reports.charts.rate_table import COLUMNS, is_drawn, rate_cells, shown_rate, spoken_rate
from reports.charts.scale import roof
from reports.rate_report.findings import rate_headline
from reports.rate_report.number_text import rate_text, whole_text
from reports.rate_report.period_text import period_text, quarter_of

STEP, LEAST, MOST = 0.2, 0.8, 2.0
_NOTE = (
    "Counted episodes per patient-year, four quarters to each point, exact 95 % range. "
    "Small dot: the quarter alone."
)


def rate_over_time(
    rows: Sequence[Row], quarters: Sequence[Row] = (), title: str | None = None
) -> Chart:
    """`rows`: rolling years in time order; `quarters`: rows of single quarters for the dots."""
    high = roof(list(rows), STEP, LEAST, MOST)
    shown = list(rows)[-WIDE_SHEET.most :]
    dots = {row["period"]: row for row in quarters if is_drawn(row)}
    pairs = [(row, dots.get(quarter_of(row["period"]))) for row in shown]
    return Chart(
        name="rate_over_time",
        title=title or rate_headline(shown),
        summary=_summary(shown),
        note=_NOTE + _gaps(shown),
        columns=("Four quarters", *COLUMNS, "Target", "Quarter alone: counted", "its rate"),
        rows=tuple(_cells(row, dot) for row, dot in pairs),
        shown_rows=tuple(_shown(row, dot) for row, dot in pairs),
        svg=drawn(pairs, high, WIDE_SHEET, _summary(shown)),
        svg_narrow=drawn(pairs, high, NARROW_SHEET, _summary(shown)),
        figure=rate_figure(pairs),
    )


def _cells(row: Row, dot: Row | None) -> tuple[Cell, ...]:
    alone = (dot["numerator"], dot["value"]) if dot else (None, None)
    return (row["period"], *rate_cells(row), row["target"], *alone)


def _shown(row: Row, dot: Row | None) -> tuple[str, ...]:
    target = rate_text(row["target"]) if row["target"] is not None else ""
    alone = (whole_text(dot["numerator"]), rate_text(dot["value"])) if dot else ("", "")
    return (period_text(row["period"]), *shown_rate(row), target, *alone)


def _summary(rows: Sequence[Row]) -> str:
    if not rows:
        return "No four quarters are complete yet."
    target = rows[-1]["target"]
    line = f" Target {rate_text(target)} or less." if target is not None else ""
    spoken = " ".join(spoken_rate(period_text(row["period"]), row) for row in rows)
    return f"Rate per patient-year, four quarters together.{line} {spoken}"


def _gaps(rows: Sequence[Row]) -> str:
    empty = [period_text(row["period"]) for row in rows if not is_drawn(row)]
    return f" Nobody was at risk in {'; '.join(empty)}: a gap." if empty else ""
