"""One way to write a measure row, whether it is a rate or a share."""

from __future__ import annotations

from reports.charts import rate_table, share_table
from reports.charts.chart import Cell, Row
from reports.rate_report.number_text import percent_text, rate_text

# Written under the points of a chart over time: the name, and the place among the shown cells.
_UNDER_RATES = (("Counted", 0), ("Patient-years", 2), ("Rate", 3))
_UNDER_SHARES = (("Those", 0), ("Of", 1), ("Share", 2))


def is_rate(row: Row) -> bool:
    return bool(row["denominator_unit"] == "patient_days")


def columns(row: Row | None) -> tuple[str, ...]:
    return rate_table.COLUMNS if row is None or is_rate(row) else share_table.COLUMNS


def cells(row: Row) -> tuple[Cell, ...]:
    return rate_table.rate_cells(row) if is_rate(row) else share_table.share_cells(row)


def shown(row: Row) -> tuple[str, ...]:
    return rate_table.shown_rate(row) if is_rate(row) else share_table.shown_share(row)


def spoken(name: str, row: Row) -> str:
    said = rate_table.spoken_rate if is_rate(row) else share_table.spoken_share
    return said(name, row)


def under(row: Row | None) -> tuple[tuple[str, int], ...]:
    return _UNDER_RATES if row is None or is_rate(row) else _UNDER_SHARES


def under_text(row: Row, place: int) -> str:
    """A figure under its point; a gap is a dash."""
    if not row["denominator"] and place == under(row)[-1][1]:
        return "–"
    return shown(row)[place]


def target_text(row: Row) -> str:
    if row["target"] is None:
        return ""
    return rate_text(row["target"]) if is_rate(row) else percent_text(row["target"])


def tick_text(value: float, rate: bool) -> str:
    return f"{value:.1f}" if rate else percent_text(value)
