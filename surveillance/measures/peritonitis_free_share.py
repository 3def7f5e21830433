"""Share of the patients at risk without a confirmed peritonitis at risk, relapses too."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from surveillance.measures.facts import Facts
from surveillance.measures.figures import Figure, Measure
from surveillance.time_at_risk.timeline import AT_RISK


def _figures(facts: Facts) -> Iterator[Figure]:
    made, days = facts.made, facts.patient_days
    row = made.outcomes.treated.row
    row = row[made.state[row] == AT_RISK]
    episodes = facts.when.counts(made.rows.patient[row], made.rows.onset[row], len(days))
    at_risk = days > 0
    free = facts.of_clinics((at_risk & (episodes == 0)).astype(np.int64))
    yield Figure(free, facts.of_clinics(at_risk.astype(np.int64)), facts.clinics)


PERITONITIS_FREE_SHARE = Measure("peritonitis_free_share", "patients", "exact_binomial", _figures)
