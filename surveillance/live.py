"""The method applied now to one patient's record: what the Patient and Episode pages say."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import Any

import numpy as np
import pandas as pd

from clinic.catalogue import organism_rows
from surveillance.cases.case_table import case_table
from surveillance.cases.cases import cases
from surveillance.cases.organisms import Organisms, organisms
from surveillance.extract import Patient, read_patient
from surveillance.rules import DEFAULT_RULE_SET, RULE_SETS, RuleSet
from surveillance.time_at_risk.seen import seen
from surveillance.time_at_risk.timeline import timeline

_EPOCH = date(1970, 1, 1)


@dataclass(frozen=True)
class Live:
    """Case rows of one patient as text (gap_days as a number), and the days at risk so far."""

    rule_set: RuleSet
    as_of: date
    cases: tuple[dict[str, Any], ...]
    days_at_risk: int

    def case(self, episode: str, *kinds: str) -> dict[str, Any] | None:
        """The case row of an episode; none while it is not seen (no date, or after `as_of`)."""
        found = (row for row in self.cases if row["episode"] == episode and row["kind"] in kinds)
        return next(found, None)


def live(patient: Patient, as_of: date, rule_set: str = DEFAULT_RULE_SET) -> Live:
    """Unlike a snapshot this is not stored and not frozen: the next amendment changes it."""
    rules, day = RULE_SETS[rule_set], (as_of - _EPOCH).days
    at = timeline(seen(read_patient(patient), day), rules, day)
    made = case_table(at, cases(at, _known(), rules))
    days = int(np.sum(at.at_risk.stop - at.at_risk.start))
    return Live(rules, as_of, tuple(_row(row) for row in made.to_dict("records")), days)


def _row(row: dict[str, Any]) -> dict[str, Any]:
    gap = row["gap_days"]
    onset_on = date.fromisoformat(row["onset_on"])
    return {**row, "gap_days": None if np.isnan(gap) else int(gap), "onset_on": onset_on}


@cache
def _known() -> Organisms:
    return organisms(pd.DataFrame(organism_rows(), dtype=object))
