"""A figure of four quarters together, quarter by quarter, against its target."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from reports.charts.chart import Cell, Chart, Lead, Row, nowhere
from reports.charts.flags import Flag
from reports.charts.rate_figure import rate_figure
from reports.charts.rate_layout import NARROW_SHEET, WIDE_SHEET, drawn
from reports.charts.rate_table import is_drawn
from reports.charts.row_table import cells, columns, is_rate, shown, spoken, target_text
from reports.charts.scale import roof
from reports.rate_report.findings import rate_headline
from reports.rate_report.period_text import period_text, quarter_of

STEP, LEAST, MOST, _LEAST_SHARE = 0.2, 0.8, 2.0, 0.6
_NOTE = (
    "Counted episodes per patient-year, four quarters to each point, exact 95 % range. "
    "Small dot: the quarter alone."
)


@dataclass(frozen=True)
class Told:
    """What one figure over time is called; the default is the rate of peritonitis."""

    name: str = "rate_over_time"
    title: str | None = None
    what: str = "Rate per patient-year"
    note: str = _NOTE


def rate_over_time(
    rows: Sequence[Row],
    quarters: Sequence[Row] = (),
    told: Told = Told(),  # noqa: B008 - frozen
    lead: Lead = nowhere,
    flags: Sequence[Flag] = (),
) -> Chart:
    """`rows`: rolling years in time order; `quarters`: rows of single quarters for the dots;
    `flags`: what changed meanwhile."""
    shown_here = list(rows)[-WIDE_SHEET.most :]
    high = _high(list(rows))
    dots = {row["period"]: row for row in quarters if is_drawn(row)}
    pairs = [(row, dots.get(quarter_of(row["period"]))) for row in shown_here]
    summary = _summary(shown_here, told)
    alone = ("Quarter alone: counted", "its rate")
    return Chart(
        name=told.name,
        title=told.title or rate_headline(shown_here),
        summary=summary,
        note=told.note + _gaps(shown_here),
        columns=("Four quarters", *columns(rows[-1] if rows else None), "Target", *alone),
        rows=tuple(_cells(row, dot) for row, dot in pairs),
        shown_rows=tuple(_shown(row, dot) for row, dot in pairs),
        svg=drawn(pairs, high, WIDE_SHEET, summary, lead, flags),
        svg_narrow=drawn(pairs, high, NARROW_SHEET, summary, lead, flags),
        figure=rate_figure(pairs),
        leads=tuple(lead(row) for row, _ in pairs),
    )


def _high(rows: list[Row]) -> float:
    if not rows or is_rate(rows[-1]):
        return roof(rows, STEP, LEAST, MOST)
    most = max((row["upper"] for row in rows if row["denominator"]), default=1.0)
    return min(1.0, max(_LEAST_SHARE, math.ceil(round(most / STEP, 9)) * STEP))


def _cells(row: Row, dot: Row | None) -> tuple[Cell, ...]:
    alone = (dot["numerator"], dot["value"]) if dot else (None, None)
    return (row["period"], *cells(row), row["target"], *alone)


def _shown(row: Row, dot: Row | None) -> tuple[str, ...]:
    place = 3 if is_rate(row) else 2
    alone = (shown(dot)[0], shown(dot)[place]) if dot else ("", "")
    return (period_text(row["period"]), *shown(row), target_text(row), *alone)


def _summary(rows: Sequence[Row], told: Told) -> str:
    if not rows:
        return "No four quarters are complete yet."
    target = target_text(rows[-1])
    line = f" Target {target} or less." if target else ""
    said = " ".join(spoken(period_text(row["period"]), row) for row in rows)
    return f"{told.what}, four quarters together.{line} {said}"


def _gaps(rows: Sequence[Row]) -> str:
    empty = [period_text(row["period"]) for row in rows if not is_drawn(row)]
    return f" Nobody was at risk in {'; '.join(empty)}: a gap." if empty else ""
