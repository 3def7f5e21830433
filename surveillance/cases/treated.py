"""The episodes that are asked how they ended, and the days they were under treatment."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from surveillance.cases.classes import SAME_EPISODE
from surveillance.cases.episodes import PERITONITIS, Episodes
from surveillance.cases.organisms import pairs
from surveillance.cases.sequence import NOT_IN_SEQUENCE, Sequence
from surveillance.rules import RuleSet
from surveillance.tables import NO_DAY
from surveillance.time_at_risk.stretches import Bools, Ints


@dataclass(frozen=True)
class Treated:
    """The episodes that are asked for outcomes, by patient and onset."""

    row: Ints  # row of Episodes
    patient: Ints
    onset: Ints
    therapy_end: Ints  # NO_DAY where unknown
    treatment_end: Ints  # last day under treatment

    def place_of(self, rows: int) -> Ints:
        """Place here of each row of Episodes, -1 for the others and for row -1."""
        place = np.full(rows + 1, -1, dtype=np.int64)
        place[self.row] = np.arange(len(self.row))
        return place


def treated_episodes(rows: Episodes, chained: Sequence, rule_set: RuleSet) -> Treated:
    """Confirmed peritonitis that is not a same_episode row. Test: test_outcomes.py."""
    asked = ~np.isin(chained.sequence, (NOT_IN_SEQUENCE, SAME_EPISODE)) & (rows.kind == PERITONITIS)
    row = np.flatnonzero(asked)
    row = row[np.lexsort((rows.onset[row], rows.patient[row]))]
    onset, end = rows.onset[row], chained.therapy_end[row]
    without = onset + rule_set.days("treatment_without_end_days")
    return Treated(row, rows.patient[row], onset, end, np.where(end == NO_DAY, without, end))


def belongs_to(treated: Treated, patient: Ints, day: Ints) -> Ints:
    """The episode of latest onset under treatment on each patient's day; -1 if none.

    Source: design 3.1, outcomes. Test: tests/surveillance/cases/test_outcomes.py.
    """
    event, episode = pairs(patient.astype(np.int64), treated.patient)
    day_of_event = day[event]
    under = (treated.onset[episode] <= day_of_event) & (
        day_of_event <= treated.treatment_end[episode]
    )
    found = np.full(len(patient), -1, dtype=np.int64)
    np.maximum.at(found, event[under], episode[under])
    return found


def flags(treated: Treated, episodes: Ints) -> Bools:
    """Whether each treated episode is among those named. Test: test_outcomes.py."""
    return np.isin(np.arange(len(treated.row)), episodes)
