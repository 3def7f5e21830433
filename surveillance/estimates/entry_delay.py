"""How soon episodes are entered: the share that was in the record so many days after onset."""

from __future__ import annotations

from collections.abc import Iterator

from surveillance.estimates.basis import Basis
from surveillance.estimates.rows import Block
from surveillance.estimates.shares import share_block
from surveillance.tables import NO_DAY
from surveillance.time_at_risk.seen import days_of

WITHIN_DAYS = (7, 14, 28, 60)
NAME = "peritonitis_entered_share"
SPLIT = "days_since_onset"


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
