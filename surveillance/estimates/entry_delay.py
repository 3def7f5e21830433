"""How soon episodes are entered: so many days after onset, so many days after a quarter's end."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from surveillance.estimates.basis import Basis
from surveillance.estimates.rows import Block, cells
from surveillance.estimates.shares import share_block
from surveillance.periods import day_number
from surveillance.tables import NO_DAY
from surveillance.time_at_risk.seen import days_of
from surveillance.time_at_risk.stretches import Bools, Ints

WITHIN_DAYS = (7, 14, 28, 60)
NAME = "peritonitis_entered_share"
SPLIT = "days_since_onset"
AFTER_DAYS = (0, 14, 28, 60)
COUNT_NAME = "peritonitis_entered_count"
COUNT_SPLIT = "days_since_period_end"


def entry_delay(basis: Basis) -> Iterator[Block]:
    """Share of the peritonitis rows entered within some days, of those at least so old.

    Every row counts, confirmed or not. After a load from files it tells of the load, not of the
    clinic. Source: statistics.md 2.17. Test: tests/surveillance/estimates/test_entry_delay.py.
    """
    facts = basis.facts
    episodes = facts.at.record.peritonitis
    onset, entered = days_of(episodes, "onset_on"), days_of(episodes, "recorded_on")
    patient = episodes["patient"].to_numpy()
    clinic, clinics = facts.at.clinic[patient], len(facts.clinics)
    for days in WITHIN_DAYS:
        old = onset + days < facts.at.line.stop_day
        known = old & (entered != NO_DAY)
        soon = known & (entered <= onset + days)
        tables = [
            facts.when.counts(clinic[rows], onset[rows], clinics)
            for rows in (soon, known, old & ~known)
        ]
        yield share_block(facts, NAME, tables, SPLIT, str(days))


def entered_counts(basis: Basis) -> Iterator[Block]:
    """Peritonitis rows of a quarter that were in the record some days after its end.

    Empty where that day has not come yet: what a network's nowcast learns from.
    Source: statistics.md 2.17. Test: tests/surveillance/estimates/test_entry_delay.py.
    """
    facts = basis.facts
    episodes, at = facts.at.record.peritonitis, cells(facts, ("quarter",))
    onset, entered = days_of(episodes, "onset_on"), days_of(episodes, "recorded_on")
    clinic, known = facts.at.clinic[episodes["patient"].to_numpy()], entered != NO_DAY
    last_day = np.array([day_number(one.last_day) for one in facts.when.periods])[at.period]
    none = np.zeros(len(at), dtype=np.int64)

    def counted(rows: Bools) -> Ints:
        cell: Ints = at.of(facts.when.counts(clinic[rows], onset[rows], len(facts.clinics)))
        return cell

    note = [f"left out as unknown: {number}" if number else "" for number in counted(~known)]
    for days in AFTER_DAYS:
        come = last_day + days < facts.at.line.stop_day
        soon = counted(known & (entered <= _quarter_end(onset) + days))
        value = np.where(come, soon, np.nan)
        yield Block(
            COUNT_NAME, "count", at, value, note=note, split=COUNT_SPLIT, band=none,
            labels=(str(days),),
        )  # fmt: skip


def _quarter_end(day: Ints) -> Ints:
    """The last day of each day's quarter, as days since 1970-01-01."""
    month = day.astype("datetime64[D]").astype("datetime64[M]").astype(np.int64)
    following = (month // 3 * 3 + 3).astype("datetime64[M]").astype("datetime64[D]")
    return np.asarray(following.astype(np.int64) - 1)
