"""Estimate rows of some clinics, beside the measures that they are made of."""

from __future__ import annotations

from datetime import date

import pandas as pd

from surveillance.cases.organisms import organisms
from surveillance.estimates import FAMILIES
from surveillance.estimates.basis import Basis
from surveillance.estimates.rows import estimate_frame
from surveillance.measures.compute import (
    PATIENTS_AT_A_TIME,
    facts_of,
    joined_result,
    result_of,
)
from surveillance.rules import RuleSet
from surveillance.tables import Record, Result
from surveillance.text_columns import by_clinic, stacked
from surveillance.time_at_risk.part import parts


def estimates_of(basis: Basis) -> pd.DataFrame:
    """The estimate rows of every registered family. Test: test_compute.py."""
    blocks = [block for family in FAMILIES for block in family(basis)]
    facts = basis.facts
    return estimate_frame(blocks, facts.at.record.clinics["clinic"].tolist(), facts.when.periods)


def compute_with_estimates(
    record: Record,
    catalogue: pd.DataFrame,
    rule_set: RuleSet,
    as_of: date,
    through: str | None = None,
) -> tuple[Result, pd.DataFrame]:
    """What `measures.compute` gives, and the estimate rows of the same clinics.

    Arguments as there; each clinic's rows as if it were alone. Source: design 3.4.
    Test: tests/surveillance/estimates/test_compute.py.
    """
    known = organisms(catalogue)
    results, estimates = [], []
    for part in parts(record, PATIENTS_AT_A_TIME):
        found = facts_of(part, known, rule_set, as_of, through)
        results.append(result_of(found, as_of))
        estimates.append(estimates_of(Basis(found, known, results[-1].measures)))
    return joined_result(results), by_clinic(stacked(estimates))
