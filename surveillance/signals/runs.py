"""Whether the quarters' rates stay on one side of their median for too long."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from surveillance.signals.basis import Basis
from surveillance.signals.quarterly_rate import Quarters, quarters
from surveillance.signals.rows import Block
from surveillance.signals.shewhart import run_rules, run_rules_data
from surveillance.signals.words import day_words

LONGEST, CROSSINGS = "longest_run", "crossings"
QUARTERS_SEEN = 24  # the newest six years
FEWEST = 10  # useful points; below that the rules say nothing (common practice, no source)


def runs(basis: Basis) -> Iterator[Block]:
    """The newest quarters of each clinic's newest phase: longest run and crossings.

    Source: statistics.md 2.9. Test: tests/surveillance/signals/test_runs.py.
    """
    newest: dict[int, Quarters] = dict(quarters(basis))  # the last phase stays
    for clinic, one in newest.items():
        known = np.flatnonzero(one.years > 0)[-QUARTERS_SEEN:]
        if len(known):
            yield from _rows(clinic, one, known)


def _rows(clinic: int, one: Quarters, known: np.ndarray) -> Iterator[Block]:
    rates = one.counts[known] / one.years[known]
    found = run_rules_data(rates.tolist())
    start, end = int(one.start[known[0]]), int(one.end[known[-1]])
    limits = run_rules(found.useful) if found.useful >= FEWEST else None
    cells = {
        LONGEST: (found.longest, limits.longest_run_limit if limits else np.nan),
        CROSSINGS: (found.crossings, limits.crossings_lower_limit if limits else np.nan),
    }
    for rule, (value, limit) in cells.items():
        sentence = _sentence(rule, value, limit, len(known), start, end)
        yield Block(
            rule, np.array([clinic]), [start], end, one.counts[known].sum(), np.nan, value, limit,
            np.nan, [sentence],
        )  # fmt: skip


def _sentence(rule: str, value: int, limit: float, points: int, start: int, end: int) -> str:
    what = "longest run on one side of the median" if rule == LONGEST else "crossings of the median"
    told = f"{points} quarters from {day_words(start)} to {day_words(end)}: {what} {value}"
    if limit != limit:
        return f"{told}; too few quarters off the median to judge."
    out = value > limit if rule == LONGEST else value < limit
    if not out:
        return f"{told}, within the limit of {limit:.0f}: no shift that luck could not make."
    return (
        f"{told}, beyond the limit of {limit:.0f}: the rate has shifted. Luck does this in about "
        "5 of 100 such charts."
    )
