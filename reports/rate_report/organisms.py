"""Organism groups in the one order that the clinic's whole record gives, quarter after quarter."""

from __future__ import annotations

from collections import Counter
from typing import Any

from reports.rate_report.figures import Figures

Row = dict[str, Any]
LAST = ("culture_negative", "culture_pending", "not_cultured")
_MEASURE, _SPLIT = "peritonitis_rate", "organism_group"


def groups_in_order(figures: Figures, now: str) -> list[str]:
    """Most frequent first over all quarters stored; what was not identified stands last.

    A reader to whom fewer than four quarters are open has the order of the rolling year.
    """
    total: Counter[str] = Counter()
    quarters = figures.quarters()
    for period in quarters if len(quarters) >= 4 else [now]:
        for row in figures.bands(period, _MEASURE, _SPLIT):
            total[row["band"]] += row["numerator"]
    found = sorted((group for group in total if total[group]), key=lambda one: (-total[one], one))
    named = [group for group in found if group not in LAST]
    return named + [group for group in LAST if group in found]


def counts(figures: Figures, period: str) -> dict[str, Row]:
    """The rows of a period by group."""
    return {row["band"]: row for row in figures.bands(period, _MEASURE, _SPLIT)}


def organism_rows(
    figures: Figures, now: str, before: str
) -> list[tuple[str, Row | None, Row | None]]:
    """Each group of the clinic's order with its row of both years, where there is one."""
    here, there = counts(figures, now), counts(figures, before)
    return [(group, here.get(group), there.get(group)) for group in groups_in_order(figures, now)]


def numbers(rows: dict[str, Row]) -> dict[str, int]:
    return {group: row["numerator"] for group, row in rows.items() if row["numerator"]}
