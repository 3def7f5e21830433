"""Measure rows as tables for people; a cell keeps its row, so that it leads to Recount."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from reports.rate_report.names import band_text
from reports.rate_report.number_text import (
    is_little_time,
    percent_text,
    rate_text,
    whole_text,
    years_text,
)
from reports.rate_report.period_text import period_text
from reports.rate_report.sentences import range_text
from surveillance.words import NOTHING_TO_COUNT

Row = dict[str, Any]
NOBODY = "nobody was at risk"


@dataclass(frozen=True)
class Cell:
    """One cell; with a row it is a link to that figure's Recount."""

    text: str
    row: Row | None = None


@dataclass(frozen=True)
class Head:
    """One column's head."""

    text: str
    is_number: bool = True


@dataclass(frozen=True)
class FigureTable:
    """A table as a page and a print show it; the first cell of a row is its head."""

    caption: str
    heads: tuple[Head, ...]
    rows: list[tuple[Cell, ...]]


def value_text(row: Row) -> str:
    """The figure itself; a gap is said, never drawn as zero."""
    if not row["denominator"]:
        at_risk = row["denominator_unit"] in ("patient_days", "patients")
        return NOBODY if at_risk else NOTHING_TO_COUNT
    shown = rate_text if row["denominator_unit"] == "patient_days" else percent_text
    return shown(row["value"], row["target"])


def _limits_text(row: Row) -> str:
    if not row["denominator"]:
        return ""
    little = row["denominator_unit"] == "patient_days" and is_little_time(row["denominator"])
    return range_text(row).removeprefix("range ") + (", too little time" if little else "")


def _rate_cells(label: str, row: Row) -> tuple[Cell, ...]:
    return (
        Cell(label), Cell(whole_text(row["numerator"])), Cell(whole_text(row["denominator"])),
        Cell(years_text(row["denominator"])), Cell(value_text(row), row), Cell(_limits_text(row)),
    )  # fmt: skip


def _rate_heads(first: str) -> tuple[Head, ...]:
    names = ("counted", "days at risk", "patient-years", "per patient-year", "range, 95 %")
    return (Head(first, is_number=False), *map(Head, names))


def period_table(caption: str, rows: list[Row]) -> FigureTable:
    """One rate over several periods."""
    cells = [_rate_cells(period_text(row["period"]), row) for row in rows]
    return FigureTable(caption, _rate_heads("Period"), cells)


def band_table(caption: str, rows: list[Row]) -> FigureTable:
    """One rate over the bands of a split."""
    cells = [_rate_cells(band_text(row["split"], row["band"]), row) for row in rows]
    return FigureTable(caption, _rate_heads("Band"), cells)


def _count_cell(row: Row | None) -> Cell:
    return Cell(whole_text(row["numerator"]), row) if row else Cell("0")


def organism_table(
    caption: str, periods: tuple[str, str], rows: list[tuple[str, Row | None, Row | None]]
) -> FigureTable:
    """Counts of each group in this rolling year and in the one before."""
    heads = (Head("Group", is_number=False), *(Head(period_text(one)) for one in periods))
    cells = [
        (Cell(band_text("organism_group", group)), _count_cell(now), _count_cell(before))
        for group, now, before in rows
    ]
    return FigureTable(caption, heads, cells)
