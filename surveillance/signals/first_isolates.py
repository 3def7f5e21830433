"""The first isolate of each patient in each group of organisms, and how they lie in time."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from surveillance.cases import criteria
from surveillance.cases.cases import Cases
from surveillance.cases.classes import RELAPSING, SAME_EPISODE
from surveillance.cases.organisms import GROUPS
from surveillance.signals.words import WATER
from surveillance.time_at_risk.stretches import Bools, Ints, changes

WINDOW_DAYS = 8 * 7  # statistics.md 2.22
LOOK_BACK_DAYS = 104 * 7
BANDS = (*GROUPS, WATER)
_IN_WATER = [GROUPS.index(name) for name in ("pseudomonas", "acinetobacter", "stenotrophomonas")]
_SPACE = 10**6  # days between two lanes on one line, more than any record has


@dataclass(frozen=True)
class FirstIsolates:
    """Sorted by clinic, group and onset; a lane is a clinic's group."""

    clinic: Ints
    band: Ints  # place in BANDS
    onset: Ints

    def count(self, clinic: Ints, band: Ints, day: Ints, days: int) -> Ints:
        """How many lie in the last `days` days up to a day, itself included, of a lane."""
        own = (self.clinic * len(BANDS) + self.band) * _SPACE + self.onset
        asked = (clinic * len(BANDS) + band) * _SPACE + day
        upto, before = (np.searchsorted(own, place, "right") for place in (asked, asked - days))
        number: Ints = upto - before
        return number


def _members(made: Cases, stop_day: int) -> tuple[Ints, Ints]:
    """(row, group) of confirmed peritonitis, at risk or not; relapses are no new infection."""
    chosen: Bools = made.is_peritonitis & (made.rows.confirmed == criteria.CONFIRMED)
    chosen &= ~np.isin(made.chained.sequence, (RELAPSING, SAME_EPISODE))
    rows = np.flatnonzero(chosen & (made.rows.onset < stop_day))
    groups = made.groups[rows]
    table = np.column_stack([groups, groups[:, _IN_WATER].any(axis=1)])
    row, band = np.nonzero(table)
    return rows[row], band


def first_isolates(made: Cases, stop_day: int) -> FirstIsolates:
    """Isolates that no other of the same patient and group precedes within 104 weeks.

    stop_day: what begins on or after it is left out. An episode of several organisms is in each of
    its groups; the three water organisms are a group together as well. Source: statistics.md 2.11,
    2.22. Test: tests/surveillance/signals/test_first_isolates.py.
    """
    row, band = _members(made, stop_day)
    clinic, patient, onset = made.clinic[row], made.rows.patient[row], made.rows.onset[row]
    order = np.lexsort((onset, patient, band, clinic))
    clinic, band, patient, onset = (column[order] for column in (clinic, band, patient, onset))
    is_first = changes(clinic) | changes(band) | changes(patient)
    gap = np.diff(onset, prepend=0)
    kept = is_first | (gap >= LOOK_BACK_DAYS)
    clinic, band, onset = clinic[kept], band[kept], onset[kept]
    order = np.lexsort((onset, band, clinic))
    return FirstIsolates(clinic[order], band[order], onset[order])
