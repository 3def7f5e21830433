"""Rows of shares as a table: how many of how many, the share and its range."""

from __future__ import annotations

from reports.charts.chart import Cell, Row
from reports.rate_report.number_text import percent_text, whole_text

COLUMNS = ("Those", "Of", "Share", "Lower limit", "Upper limit")
NOTHING = "nothing to count yet"


def share_cells(row: Row) -> tuple[Cell, ...]:
    return tuple(row[name] for name in ("numerator", "denominator", "value", "lower", "upper"))


def shown_share(row: Row) -> tuple[str, ...]:
    counts = (whole_text(row["numerator"]), whole_text(row["denominator"]))
    if not row["denominator"]:
        return (*counts, NOTHING, "", "")
    limits = (percent_text(row[name], row["target"]) for name in ("value", "lower", "upper"))
    return (*counts, *limits)


def spoken_share(name: str, row: Row) -> str:
    """One share as a sentence."""
    if not row["denominator"]:
        return f"{name}: {NOTHING}."
    those, of, value, low, high = shown_share(row)
    return f"{name}: {those} of {of}, {value}, range {low.removesuffix(' %')} to {high}."
