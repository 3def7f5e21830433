"""Which episodes a missing field keeps from being sure to count, or not to."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from surveillance.cases import criteria
from surveillance.cases.cases import Cases
from surveillance.cases.classes import RECURRENT, RELAPSING, SAME_EPISODE, UNDETERMINED
from surveillance.cases.episodes import KINDS
from surveillance.cases.joined import latest_before
from surveillance.rules import RuleSet
from surveillance.tables import NO_DAY
from surveillance.time_at_risk.stretches import Bools, Ints
from surveillance.time_at_risk.timeline import AT_RISK, Timeline

FAR_DAY = 2**33  # above the distance of any two days


@dataclass(frozen=True)
class Doubt:
    """Rows of the cases; the first two are never both true of a row."""

    may_not_count: Bools  # counted, but might be a relapse or the same episode
    may_count: Bools  # not counted, but might be
    last_dose: Bools  # since the last dose of the one before is missing
    culture: Bools  # undetermined, since a culture is missing
    after_open: Bools  # since one before is open itself


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
    """An unconfirmed one ended so late that this one might be its relapse or itself."""
    end = line.latest_end(line.unsure)
    near: Bools = (end != NO_DAY) & (line.onset - end <= window)
    return near


def _after_open(line: _Line) -> Bools:
    """A last dose is missing on the onset day before: it bears on the next day's rows only."""
    day, group = np.unique(line.key * FAR_DAY + line.onset, return_inverse=True)
    openly = np.zeros(len(day), dtype=bool)
    openly[group[line.end == NO_DAY]] = True
    behind = np.append(False, openly[:-1] & (day[1:] // FAR_DAY == day[:-1] // FAR_DAY))
    after: Bools = behind[: len(day)][group] if len(day) else openly
    return after


def _open_upstream(line: _Line, made: Cases, base: Bools) -> Bools:
    """Something is open between this episode and what decides it: its chain's first, or its index.

    base: open rows themselves, among them unconfirmed ones that might join and lend what they have.
    """
    sequence = made.chained.sequence[line.row]
    heads = ~line.unsure & ~np.isin(sequence, (RELAPSING, SAME_EPISODE))
    first = np.maximum.accumulate(np.where(heads, np.arange(len(heads)), 0))
    index = made.chained.index[line.row]
    start = np.where(sequence == RELAPSING, first, line.place(len(made.rows))[index])
    before: Ints = np.cumsum(base) - base
    upstream: Bools = (index >= 0) & (before > before[start]) if len(base) else base
    return upstream


def _open_downstream(line: _Line, made: Cases, opened: Bools) -> Bools:
    """A later row up to the next episode might join this one and lend what it has."""
    sequence = made.chained.sequence[line.row]
    heads = ~line.unsure & (sequence != SAME_EPISODE)
    place, head = np.arange(len(heads)), np.flatnonzero(heads)
    following = np.append(head, len(heads))[np.searchsorted(head, place, "right")]
    last = np.minimum(following, np.searchsorted(line.key, line.key, "right") - 1)
    so_far = np.cumsum(line.unsure | (heads & opened[line.row]))
    downstream: Bools = so_far[last] > so_far if len(heads) else heads
    return downstream


def _open_cultures(at: Timeline, made: Cases) -> Bools:
    """Rows with a culture that is missing, pending or without a name, whatever another one says."""
    samples, infections = at.record.effluent_samples, at.record.catheter_infections
    culture = samples["culture"]
    nameless = np.array(culture == "grown")
    nameless[at.record.isolates["sample"].to_numpy()] = False
    open_sample = nameless | np.asarray(culture.isna() | (culture == "pending"))
    row = np.zeros(len(made.rows), dtype=bool)
    row[samples["episode"].to_numpy()[open_sample]] = True  # peritonitis comes first in the rows
    unnamed = infections["organism"].isna().to_numpy()
    row[~made.is_peritonitis] = unnamed[made.rows.source[~made.is_peritonitis]]
    return row


def _joins_confirmed(line: _Line) -> Bools:
    """Begins within a confirmed episode, whatever becomes of it."""
    end = line.latest_end(~line.unsure)
    day = line.key * FAR_DAY + line.onset
    joins: Bools = ((end != NO_DAY) & (line.onset <= end)) | np.isin(day, day[~line.unsure])
    return joins


def doubt(at: Timeline, made: Cases, rule_set: RuleSet) -> Doubt:
    """What missing fields leave open of each episode: safe, not always reached at once.

    Open are: unconfirmed or not; a missing last dose (up to the next episode); a culture that is
    missing, pending or without a name. Source: standards.md 9 (5), our method.
    Test: tests/surveillance/estimates/test_doubt.py, all completions of small records.
    """
    line, rows = _line(made), made.rows
    sequence = made.chained.sequence
    unclear = sequence == UNDETERMINED
    near, opened, joins = np.zeros((3, len(rows)), dtype=bool)
    near[line.row] = _after_unsure(line, rule_set.days("relapse_window_days"))
    opened[line.row] = _after_open(line)
    joins[line.row] = _joins_confirmed(line)
    uncultured = _open_cultures(at, made)
    around = np.isin(np.arange(len(rows)), made.chained.first[uncultured])
    around[line.row] |= _open_downstream(line, made, opened)
    base = line.unsure | (near | opened | unclear | uncultured)[line.row]
    for _ in range(2):  # an open class may open what hangs on it further down its chain
        around[line.row] |= _open_upstream(line, made, base)
        around &= np.isin(sequence, (RECURRENT, RELAPSING))
        base = base | around[line.row]
    after = near | around
    unsure = (rows.confirmed == criteria.UNCONFIRMED) & ~joins
    undone = (sequence == RELAPSING) & around
    no_end = made.chained.gap_days == NO_DAY
    return Doubt(
        may_not_count=made.counts & (unclear | opened | after),
        may_count=~made.counts & (made.state == AT_RISK) & (unsure | undone),
        last_dose=made.counts & ((unclear & no_end) | (opened & ~unclear)),
        culture=made.counts & unclear & ~no_end,
        after_open=made.counts & ~unclear & ~opened & after,
    )
