"""Share of the catheters inserted that were followed by a peritonitis within the window."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from surveillance.cases.catheters import YES
from surveillance.measures.facts import Facts
from surveillance.measures.figures import Figure, Measure
from surveillance.time_at_risk.seen import days_of


def _figures(facts: Facts) -> Iterator[Figure]:
    catheters, made, clinics = facts.at.record.catheters, facts.made, len(facts.clinics)
    inserted = days_of(catheters, "inserted_on")
    last_day = inserted + facts.rule_set.days("insertion_window_days")
    followed = last_day < facts.at.line.stop_day
    row = made.outcomes.treated.row
    after = made.catheter[row[made.insertion_related[row] == YES]]
    infected = followed & np.isin(np.arange(len(catheters)), after)
    clinic = facts.at.clinic[catheters["patient"].to_numpy()]
    part, whole = (
        facts.when.counts(clinic[rows], inserted[rows], clinics) for rows in (infected, followed)
    )
    yield Figure(part, whole, facts.clinics)


INSERTION_RELATED_SHARE = Measure(
    "insertion_related_share", "catheters", "exact_binomial", _figures
)
