"""Share free of peritonitis among those at risk on every day of the year."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from surveillance.estimates.basis import Basis
from surveillance.estimates.rows import YEARS, Block, cells
from surveillance.measures.facts import Facts
from surveillance.measures.peritonitis_free_share import PERITONITIS_FREE_SHARE
from surveillance.rates.binomial import clopper_pearson
from surveillance.time_at_risk.stretches import Ints
from surveillance.time_at_risk.timeline import AT_RISK


def _episodes(facts: Facts) -> Ints:
    """Confirmed peritonitis at risk of each patient in each period."""
    made = facts.made
    row = made.outcomes.treated.row
    row = row[made.state[row] == AT_RISK]
    counts = facts.when.counts(
        made.rows.patient[row], made.rows.onset[row], len(facts.patient_days)
    )
    return counts


def full_year_free_share(basis: Basis) -> Iterator[Block]:
    """Of the patients at risk on every day of a year, those without a confirmed peritonitis.

    Source: statistics.md 2.19 (b). Test: tests/surveillance/estimates/test_free_share.py.
    """
    facts = basis.facts
    length = [(one.last_day - one.start).days + 1 for one in facts.when.periods]
    all_year = facts.patient_days == np.array(length, dtype=np.int64)
    free = all_year & (_episodes(facts) == 0)
    at = cells(facts, YEARS)
    n, x = (at.of(facts.of_clinics(flag.astype(np.int64))) for flag in (all_year, free))
    level = facts.rule_set.number("limits_level")
    lower, upper = clopper_pearson(x.astype(float), n.astype(float), level)
    share = np.where(n > 0, x / np.maximum(n, 1), np.nan)
    notes = [f"{free} of {whole} at risk all year" for free, whole in zip(x, n, strict=True)]
    name = PERITONITIS_FREE_SHARE.name
    yield Block(name, "full_year_patients", at, share, lower, upper, notes)
