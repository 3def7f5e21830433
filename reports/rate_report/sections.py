"""The sections of a quarter below its five sentences: stored rows become words and tables."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from reports.rate_report.figure_tables import (
    FigureTable,
    band_table,
    organism_table,
    period_table,
)
from reports.rate_report.figures import Figures
from reports.rate_report.findings import (
    NOT_COMPLETE,
    bands_caution,
    bands_headline,
    change_beyond_chance,
    organisms_headline,
    rate_headline,
    years_to_tell_text,
)
from reports.rate_report.names import SPLITS
from reports.rate_report.number_text import whole_text
from reports.rate_report.organisms import counts, numbers, organism_rows
from reports.rate_report.period_text import period_text, rolling_year
from reports.rate_report.sentences import year_before

Row = dict[str, Any]
RATE = "peritonitis_rate"
CLOCKS = tuple(split for split in SPLITS if split.startswith("time_since"))


@dataclass(frozen=True)
class Section:
    """One section: its margin, its finding, what stands under it, and its rows."""

    key: str
    name: str
    margin: str
    headline: str
    summary: str
    tables: list[FigureTable]
    figure: Row | None  # the figure that its Recount takes apart
    rows: dict[str, Any] = field(default_factory=dict)  # for the picture


def _sentences(*texts: str) -> str:
    return " ".join(filter(None, texts))


def rate_section(figures: Figures, quarter: str) -> Section:
    """The rolling years to this one, and the single quarters beside them."""
    years = figures.undivided(RATE, figures.rolling_years(quarter))
    quarters = figures.undivided(RATE, figures.quarters(quarter))
    figure = figures.row(rolling_year(quarter), RATE)
    return Section(
        key="rate", name="Rate",
        margin="Four quarters to each point. Counted episodes × 365.25 ÷ days at risk; "
        "exact range, 95 %.",
        headline=rate_headline(years),
        summary=_sentences(
            "Peritonitis, counted episodes per patient-year. A single quarter is a small dot: "
            "alone it tells little.", years_to_tell_text(figure),
        ),
        tables=[
            period_table("Four quarters together", years),
            period_table("Single quarters", quarters),
        ],
        figure=figure, rows={"years": years, "quarters": quarters},
    )  # fmt: skip


_CONFOUNDED = (
    "The first band fills with people retrained because of an infection, so a higher rate there "
    "says nothing against it."
)


def training_section(figures: Figures, quarter: str, clock: str = CLOCKS[0]) -> Section:
    """The rate by days since training, on each day at risk."""
    period = rolling_year(quarter)
    bands, whole = figures.bands(period, RATE, clock), figures.row(period, RATE)
    return Section(
        key="training", name="Training clock",
        margin=f"{SPLITS[clock].capitalize()}, on each day at risk in {period_text(period)}. "
        "Open and dotted: under 5 patient-years (our choice).",
        headline=bands_headline(bands, whole),
        summary=_sentences(_CONFOUNDED, bands_caution(bands, whole)),
        tables=[band_table(f"Rate by {SPLITS[clock]}", bands)],
        figure=whole, rows={"bands": bands, "whole": whole, "clock": clock},
    )  # fmt: skip


def _totals_text(now: str, before: str, here: dict[str, Row], there: dict[str, Row]) -> str:
    first = f"{whole_text(sum(numbers(here).values()))} counted episodes in {period_text(now)}"
    if not there:
        return f"{first}."
    return f"{first}; {whole_text(sum(numbers(there).values()))} in {period_text(before)}."


def organism_section(figures: Figures, quarter: str) -> Section:
    """What grew, in this rolling year and in the one before."""
    now, before = rolling_year(quarter), year_before(rolling_year(quarter))
    here, there = counts(figures, now), counts(figures, before)
    figure = figures.row(now, RATE)
    rows = organism_rows(figures, now, before)
    change = change_beyond_chance(figure, figures.row(before, RATE))
    return Section(
        key="organisms", name="Organisms",
        margin="Same order every quarter. Broad bar this year, thin line the year before. "
        "Gram + whole, − slit.",
        headline=organisms_headline(numbers(here), numbers(there), change)
        if figure
        else NOT_COMPLETE,
        summary=_sentences(
            _totals_text(now, before, here, there),
            "Culture-negative: a sample was sent and grew nothing. Not cultured: none was sent.",
        ),
        tables=[organism_table("Counted episodes by organism group", (now, before), rows)],
        figure=figure, rows={"groups": rows, "now": now, "before": before},
    )  # fmt: skip
