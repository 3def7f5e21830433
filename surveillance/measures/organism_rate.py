"""Rate of peritonitis by organism group; an episode is in every group it has an organism of."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from surveillance.cases.episodes import PERITONITIS
from surveillance.cases.organisms import GROUPS
from surveillance.measures.facts import Facts
from surveillance.measures.figures import Figure, Measure
from surveillance.measures.infection_rates import by_class, counted


def _figures(facts: Facts) -> Iterator[Figure]:
    rows = counted(PERITONITIS)(facts)
    place, group = np.nonzero(facts.made.groups[rows])
    yield by_class(facts, rows[place], group, "organism_group", GROUPS)


ORGANISM_RATE = Measure("organism_rate", "patient_days", "exact_poisson", _figures)
