"""Shares of the confirmed peritonitis episodes by culture, by sequence and by outcome."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from surveillance.cases import classes, criteria
from surveillance.measures.facts import Facts
from surveillance.measures.figures import Figure, Measure
from surveillance.tables import YES
from surveillance.time_at_risk.stretches import Bools

FlagsOf = Callable[[Facts], Bools]  # of the episodes that are asked for outcomes


def _share(name: str, those: FlagsOf, among: FlagsOf) -> Measure:
    def figures(facts: Facts) -> Iterator[Figure]:
        whole = among(facts)
        part = whole & those(facts)
        yield Figure(facts.treated_counts(part), facts.treated_counts(whole), facts.clinics)

    return Measure(name, "episodes", "exact_binomial", figures)


def _every(facts: Facts) -> Bools:
    return np.ones(len(facts.made.outcomes.treated.row), dtype=bool)


def _followed_up(facts: Facts) -> Bools:
    return facts.made.outcomes.followed_up


def _culture(*groups: int) -> FlagsOf:
    def those(facts: Facts) -> Bools:
        return np.isin(facts.made.chained.culture[facts.made.outcomes.treated.row], groups)

    return those


def _sequence(code: int) -> FlagsOf:
    def those(facts: Facts) -> Bools:
        found: Bools = facts.made.chained.sequence[facts.made.outcomes.treated.row] == code
        return found

    return those


def _outcome(name: str) -> FlagsOf:
    """Unknown is not yes: it stays in the denominator only."""

    def those(facts: Facts) -> Bools:
        found: Bools = getattr(facts.made.outcomes, name) == YES
        return found

    return those


_OUTCOMES = {
    "medical_cure_share": "medical_cure",
    "refractory_share": "refractory",
    "catheter_removal_share": "catheter_removed",
    "haemodialysis_transfer_share": "haemodialysis_transfer",
    "death_share": "died",
    "admission_share": "admitted",
}

EPISODE_SHARES = (
    _share("culture_negative_share", _culture(criteria.CULTURE_NEGATIVE), _every),
    _share("not_cultured_share", _culture(criteria.NOT_CULTURED, criteria.CULTURE_PENDING), _every),
    _share("relapsing_share", _sequence(classes.RELAPSING), _every),
    _share("recurrent_share", _sequence(classes.RECURRENT), _every),
    _share("repeat_share", _sequence(classes.REPEAT), _every),
    *(_share(name, _outcome(field), _followed_up) for name, field in _OUTCOMES.items()),
)
