"""The rate of peritonitis over that of the year before."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from surveillance.estimates.basis import Basis
from surveillance.estimates.rates import figure_of
from surveillance.estimates.rows import YEARS, Block, Cells, cells
from surveillance.measures.facts import Facts
from surveillance.measures.infection_rates import INFECTION_RATES
from surveillance.periods import Period
from surveillance.rates.exact_ratios import exact_ratios
from surveillance.time_at_risk.stretches import Ints

MONTHS_BACK = 12


def _before(facts: Facts, period: Ints) -> Ints:
    """The period of the same kind a year earlier, -1 where none is in range."""
    places = {one: place for place, one in enumerate(facts.when.periods)}
    earlier = [
        places.get(Period(one.kind, one.first_month - MONTHS_BACK), -1)
        for one in facts.when.periods
    ]
    return np.array(earlier, dtype=np.int64)[period]


def _pairs(facts: Facts) -> tuple[Cells, Ints]:
    """The years that have a year before them in the clinic's range, and that year."""
    at = cells(facts, YEARS)
    before = _before(facts, at.period)
    begins = np.array([period.first_month for period in facts.when.periods], dtype=np.int64)
    inside = (before >= 0) & (begins[before] >= facts.when.first[at.clinic])
    return at.where(inside), before[inside]


def year_before(basis: Basis) -> Iterator[Block]:
    """Ratio to the year before, with exact limits; the note holds p and both counts.

    Source: statistics.md 2.6. Test: tests/surveillance/estimates/test_year_before.py.
    """
    facts, rules = basis.facts, basis.facts.rule_set
    figure = figure_of(INFECTION_RATES[0], facts)
    at, before = _pairs(facts)
    years = figure.denominator / rules.number("days_per_year")
    known = (at.of(years) > 0) & (years[at.clinic, before] > 0)
    at, before = at.where(known), before[known]
    x, y = at.of(figure.numerator), figure.numerator[at.clinic, before]
    t, u = at.of(years), years[at.clinic, before]
    found = exact_ratios(x, t, y, u, rules.number("limits_level"))
    notes = [
        f"p {p:.4g}; {now} in {time:.1f} patient-years, the year before {then} in {past:.1f}"
        for p, now, time, then, past in zip(found.p_central, x, t, y, u, strict=True)
    ]
    name = "peritonitis_rate_ratio_to_year_before"
    yield Block(name, "exact_conditional", at, found.ratio, found.lower, found.upper, notes)
