"""Rows of rates as a table: what is counted, over what, the rate and its range."""

from __future__ import annotations

from reports.charts.chart import Cell, Row
from reports.rate_report.number_text import (
    DAYS_PER_YEAR,
    is_little_time,
    rate_text,
    whole_text,
    years_text,
)

COLUMNS = ("Counted", "Days at risk", "Patient-years", "Rate", "Lower limit", "Upper limit")
NOBODY = "nobody at risk"


def is_drawn(row: Row) -> bool:
    """A period with nobody at risk is a gap, not a zero."""
    return bool(row["denominator"])


def is_open(row: Row) -> bool:
    """Drawn open and dotted: a rate over too little time at risk to say."""
    return row["denominator_unit"] == "patient_days" and is_little_time(row["denominator"])


def rate_cells(row: Row) -> tuple[Cell, ...]:
    years = row["denominator"] / DAYS_PER_YEAR
    limits = (row["value"], row["lower"], row["upper"])
    return (row["numerator"], row["denominator"], years, *limits)


def shown_rate(row: Row) -> tuple[str, ...]:
    counts = (whole_text(row["numerator"]), whole_text(row["denominator"]))
    years = years_text(row["denominator"])
    if not is_drawn(row):
        return (*counts, years, NOBODY, "", "")
    limits = (rate_text(row[name], row["target"]) for name in ("value", "lower", "upper"))
    return (*counts, years, *limits)


def spoken_rate(name: str, row: Row) -> str:
    """One figure as a sentence."""
    if not is_drawn(row):
        return f"{name}: {NOBODY}."
    counts, _, years, value, low, high = shown_rate(row)
    little = ", too little time at risk to say" if is_little_time(row["denominator"]) else ""
    return f"{name}: {counts} in {years} patient-years, {value}, range {low} to {high}{little}."
