"""The rate of peritonitis with episodes that only want a known dwell of two hours."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from surveillance.cases import criteria
from surveillance.cases.cases import Cases, cases
from surveillance.cases.organisms import Organisms
from surveillance.estimates.basis import Basis
from surveillance.estimates.rows import LONGER, Block, cells
from surveillance.measures.facts import Facts
from surveillance.rates.poisson import garwood

COUNT_NAME = "peritonitis_unknown_dwell_count"


def with_known_dwell(facts: Facts, known: Organisms) -> Cases:
    """The cases as they would be if each unknown dwell had been long enough. Test: as below."""
    record, rules = facts.at.record, facts.rule_set
    samples = record.effluent_samples
    if not samples["dwell_hours"].isna().any():
        return facts.made
    filled = samples["dwell_hours"].fillna(rules.number("dwell_at_least_hours"))
    longer = replace(record, effluent_samples=samples.assign(dwell_hours=filled))
    return cases(replace(facts.at, record=longer), known, rules)


def unknown_dwell(basis: Basis) -> Iterator[Block]:
    """How many are unconfirmed only for want of a known dwell, and the rate with them.

    They go through the whole method: one of them may make another its relapse. Source:
    standards.md 1.2, issue's own wish. Test: tests/surveillance/estimates/test_unknown_dwell.py.
    """
    facts, rules = basis.facts, basis.facts.rule_set
    made = with_known_dwell(facts, basis.known)
    wanting = (facts.made.rows.confirmed == criteria.UNCONFIRMED) & (
        made.rows.confirmed == criteria.CONFIRMED
    )
    at = cells(facts, LONGER)
    count = at.of(facts.case_counts(made.counts & made.is_peritonitis))
    years = at.of(facts.clinic_days) / rules.number("days_per_year")
    years = np.where(years > 0, years, np.nan)
    lower, upper = garwood(count.astype(float), rules.number("limits_level"))
    yield Block(
        "peritonitis_rate", "with_unknown_dwell", at, count / years, lower / years, upper / years
    )
    yield Block(COUNT_NAME, "count", at, at.of(facts.case_counts(wanting)))
