"""Which confirmed rows are one episode, and what those that join lend the first."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from surveillance.cases import criteria
from surveillance.cases.episodes import KINDS, Episodes
from surveillance.cases.organisms import Findings, Organisms, findings, without_vaguer
from surveillance.tables import NO_DAY
from surveillance.time_at_risk.stretches import Bools, Ints


@dataclass(frozen=True)
class Joined:
    """Confirmed rows by patient, kind, onset and name; each episode is a run of them."""

    rows: Ints  # rows of Episodes, in order
    key: Ints  # patient and kind of each
    group: Ints  # number of the episode of each, rising
    opens: Ints  # place in rows where each episode begins

    @property
    def heads(self) -> Ints:
        """The first row of each episode."""
        return self.rows[self.opens]

    @property
    def follows(self) -> Bools:
        """Whether each episode has one before it, of the same patient and kind."""
        key = self.key[self.opens]
        return np.append(False, key[1:] == key[:-1])[: len(key)]

    @property
    def later(self) -> Ints:
        """Places in rows of those that join an earlier one."""
        return np.setdiff1d(np.arange(len(self.rows)), self.opens)


def joined(rows: Episodes) -> Joined:
    """Dates alone decide who joins: the same onset day, or an onset by the latest known end.

    The latest end of all earlier rows serves, since an episode begins after every known end.
    Source: design 3.1. Test: tests/surveillance/cases/test_sequence.py.
    """
    confirmed = np.flatnonzero(rows.confirmed == criteria.CONFIRMED)
    key = rows.patient[confirmed] * len(KINDS) + rows.kind[confirmed]
    order = np.lexsort((rows.name_rank[confirmed], rows.onset[confirmed], key))
    ordered, key = confirmed[order], key[order]
    onset = rows.onset[ordered]
    before = latest_before(key, rows.therapy_end[ordered])
    opens = np.ones(len(ordered), dtype=bool)
    opens[1:] = (key[1:] != key[:-1]) | (onset[1:] > np.maximum(onset[:-1], before[1:]))
    return Joined(ordered, key, np.cumsum(opens) - 1, np.flatnonzero(opens))


def latest_before(key: Ints, end: Ints) -> Ints:
    """The latest known end of the earlier rows with the same (rising) key; NO_DAY without.

    Test: tests/surveillance/cases/test_sequence.py.
    """
    number = np.unique(key, return_inverse=True)[1]
    span = 2**33  # above the distance of any two days, so that a later key outweighs every day
    reach = np.maximum.accumulate(number * span + (end - NO_DAY))
    before = np.append(0, reach)[: len(key)] - number * span + NO_DAY
    return np.maximum(before, NO_DAY)


def latest_ends(rows: Episodes, made: Joined) -> Ints:
    """The latest known therapy end of each episode; NO_DAY if none is known. Test: as above."""
    ends = np.full(len(made.opens), NO_DAY, dtype=np.int64)
    np.maximum.at(ends, made.group, rows.therapy_end[made.rows])
    return ends


def first_rows(rows: Episodes, made: Joined) -> Ints:
    """The first row of each row's episode; a row off the sequence is its own. Test: as above."""
    first = np.arange(len(rows))
    first[made.rows] = made.heads[made.group]
    return first


def with_lent_cultures(rows: Episodes, first: Ints) -> Ints:
    """What the cultures of each row say, on a first row those of all that join. Test: as above."""
    culture = rows.culture.copy()
    np.maximum.at(culture, first, rows.culture)
    return culture


def with_lent_organisms(rows: Episodes, first: Ints, known: Organisms) -> Findings:
    """The organisms of each row, on a first row those of all that join, vaguer names dropped.

    Test: tests/surveillance/cases/test_sequence.py.
    """
    own = rows.found
    row = np.concatenate([own.row, first[own.row]])
    return without_vaguer(findings(row, np.tile(own.organism, 2)), known)
