"""Which episodes a missing field keeps from being sure to count, or not to."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from surveillance.cases import criteria
from surveillance.cases.cases import Cases
from surveillance.cases.classes import RECURRENT, RELAPSING, UNDETERMINED
from surveillance.cases.episodes import KINDS
from surveillance.cases.joined import latest_before
from surveillance.rules import RuleSet
from surveillance.tables import NO_DAY
from surveillance.time_at_risk.stretches import Bools, Ints
from surveillance.time_at_risk.timeline import AT_RISK


@dataclass(frozen=True)
class Doubt:
    """Rows of the cases; the first two are never both true of a row."""

    may_not_count: Bools  # counted, but might be a relapse or the same episode
    may_count: Bools  # not counted, but might be
    last_dose: Bools  # undetermined, since the last dose of the one before is missing
    culture: Bools  # undetermined, since a culture is
    after_unconfirmed: Bools  # might follow an episode that might be one


@dataclass(frozen=True)
class _Line:
    """Confirmed and unconfirmed rows by patient, kind, onset and name."""

    row: Ints
    key: Ints
    onset: Ints
    end: Ints
    unsure: Bools

    def latest_end(self, of: Bools) -> Ints:
        """The latest known end of those earlier rows of the same key that are asked for."""
        return latest_before(self.key, np.where(of, self.end, NO_DAY))

    def place(self, rows: int) -> Ints:
        """Place here of each row of the cases; 0 for others."""
        place = np.zeros(rows + 1, dtype=np.int64)
        place[self.row] = np.arange(len(self.row))
        return place


def _line(made: Cases) -> _Line:
    rows = made.rows
    row = np.flatnonzero(rows.confirmed != criteria.NOT_CONFIRMED)
    key = rows.patient[row] * len(KINDS) + rows.kind[row]
    order = np.lexsort((rows.name_rank[row], rows.onset[row], key))
    row, key = row[order], key[order]
    unsure = rows.confirmed[row] == criteria.UNCONFIRMED
    return _Line(row, key, rows.onset[row], rows.therapy_end[row], unsure)


def _after_unsure(line: _Line, window: int) -> Bools:
    """An unconfirmed one may end so late that this one would be its relapse or itself.

    A missing last dose bears on the next episode only.
    """
    end = line.latest_end(line.unsure)
    near = (end != NO_DAY) & (line.onset - end <= window)
    openly = line.unsure & (line.end == NO_DAY)
    behind = np.append(False, openly[:-1] & (line.key[1:] == line.key[:-1]))[: len(line.row)]
    after: Bools = near | behind
    return after


def _unsure_between(line: _Line, made: Cases) -> Bools:
    """An unconfirmed one lies between this episode and the one that decided its class."""
    so_far = np.cumsum(line.unsure)
    index = made.chained.index[line.row]
    start = so_far[line.place(len(made.rows))[index]] if len(index) else so_far
    between: Bools = (index >= 0) & (so_far - start > 0)
    return between


def _joins_confirmed(line: _Line) -> Bools:
    """Begins within a confirmed episode, whatever becomes of it."""
    end = line.latest_end(~line.unsure)
    day = line.key * 2**33 + line.onset
    joins: Bools = ((end != NO_DAY) & (line.onset <= end)) | np.isin(day, day[~line.unsure])
    return joins


def doubt(made: Cases, rule_set: RuleSet) -> Doubt:
    """What missing fields leave open of each episode: safe, not always reached at once.

    Open are: unconfirmed or not; a missing last dose (up to the next episode); a culture that is
    missing, pending or without a name. Source: standards.md 9 (5), our method.
    Test: tests/surveillance/estimates/test_doubt.py, all completions of small records.
    """
    line, rows = _line(made), made.rows
    near = np.zeros(len(rows), dtype=bool)
    between, joins = near.copy(), near.copy()
    near[line.row] = _after_unsure(line, rule_set.days("relapse_window_days"))
    between[line.row] = _unsure_between(line, made)
    joins[line.row] = _joins_confirmed(line)
    sequence, unclear = made.chained.sequence, made.chained.sequence == UNDETERMINED
    after = near | (between & (sequence == RECURRENT))
    unsure = (rows.confirmed == criteria.UNCONFIRMED) & ~joins
    undone = (sequence == RELAPSING) & between
    no_end = made.chained.gap_days == NO_DAY
    return Doubt(
        may_not_count=made.counts & (unclear | after),
        may_count=~made.counts & (made.state == AT_RISK) & (unsure | undone),
        last_dose=made.counts & unclear & no_end,
        culture=made.counts & unclear & ~no_end,
        after_unconfirmed=made.counts & ~unclear & after,
    )
