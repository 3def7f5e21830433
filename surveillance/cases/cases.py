"""Every episode with all that the method says about it: what the measures count."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from surveillance.cases import criteria
from surveillance.cases.catheters import catheter_related, insertion_related, latest_insertion
from surveillance.cases.classes import RELAPSING, SAME_EPISODE, SEQUENCES
from surveillance.cases.episodes import PERITONITIS, Episodes, episodes
from surveillance.cases.organism_classes import exclusive_class, groups_found
from surveillance.cases.organisms import Organisms
from surveillance.cases.outcomes import Outcomes, outcomes
from surveillance.cases.sequence import Sequence, sequence
from surveillance.rules import RuleSet
from surveillance.time_at_risk.stretches import Bools, Ints
from surveillance.time_at_risk.timeline import AT_RISK, STATES, Timeline

_NOT_COUNTED = (
    "unconfirmed", "not_confirmed", "same_episode", *STATES[1:], "relapse"
)  # fmt: skip
_COUNTED = tuple(
    "counted_relapse_of_uncounted" if name == "relapsing" else f"counted_{name}"
    for name in SEQUENCES
)
REASONS = (*_COUNTED, *(f"not_counted_{name}" for name in _NOT_COUNTED))
_FIRST_NOT_COUNTED = len(_COUNTED)


@dataclass(frozen=True)
class Cases:
    """Columns of the case table as codes; every array has a value for each row of `rows`."""

    rows: Episodes
    chained: Sequence
    outcomes: Outcomes  # of its own rows only
    clinic: Ints
    state: Ints  # at risk, or why not, at onset
    groups: Bools  # rows x organism groups
    organism_class: Ints
    catheter: Ints  # latest catheter inserted by onset, -1 without
    insertion_related: Ints
    catheter_related: Bools
    counts: Bools
    reason: Ints  # code in REASONS

    @property
    def is_peritonitis(self) -> Bools:
        of_kind: Bools = self.rows.kind == PERITONITIS
        return of_kind


def _reason(rows: Episodes, chained: Sequence, state: Ints) -> Ints:
    """The first reason not to count that holds, else why it counts."""
    off = [state == code for code in range(1, len(STATES))]
    reasons = [
        rows.confirmed == criteria.UNCONFIRMED,
        rows.confirmed == criteria.NOT_CONFIRMED,
        chained.sequence == SAME_EPISODE,
        *off,
        (chained.sequence == RELAPSING) & chained.relapse_counted,
    ]
    codes = _FIRST_NOT_COUNTED + np.arange(len(reasons))
    return np.select(reasons, list(codes), chained.sequence)


def cases(at: Timeline, known: Organisms, rule_set: RuleSet) -> Cases:
    """Every recorded episode and infection site, classified and counted or not.

    Source: design 3.1. Test: tests/surveillance/cases/test_cases.py.
    """
    rows = episodes(at.record, known, rule_set)
    state = at.state(at.line.at(rows.patient, rows.onset))
    chained = sequence(rows, state == AT_RISK, known, rule_set)
    groups = groups_found(chained.culture, chained.found, known)
    catheter = latest_insertion(at, rows)
    reason = _reason(rows, chained, state)
    return Cases(
        rows=rows,
        chained=chained,
        outcomes=outcomes(at, rows, chained, rule_set),
        clinic=at.clinic[rows.patient],
        state=state,
        groups=groups,
        organism_class=exclusive_class(chained.culture, chained.found, groups),
        catheter=catheter,
        insertion_related=insertion_related(at, rows, catheter, rule_set),
        catheter_related=catheter_related(rows, chained, known, rule_set),
        counts=reason < _FIRST_NOT_COUNTED,
        reason=reason,
    )
