"""How many lines are watched in a clinic, and how often luck raises an alarm on any of them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from surveillance.signals.alarm import DEFAULT_ALARMS
from surveillance.signals.rows import Block
from surveillance.signals.words import LINES, luck_words
from surveillance.time_at_risk.stretches import Ints

RULE = "looks"


def looks_block(blocks: Sequence[Block], clinics: int) -> Block:
    """One row a clinic: the chance alarms of its newest looks, all lines together.

    Source: statistics.md 2.21, 2.22. Test: tests/surveillance/signals/test_looks.py.
    """
    ends = [np.broadcast_to(np.asarray(one.window_end), len(one)) for one in blocks]
    last = np.full(clinics, -1, dtype=np.int64)
    for one, end in zip(blocks, ends, strict=True):
        np.maximum.at(last, one.clinic, end)
    total = np.zeros(clinics)
    for rule in DEFAULT_ALARMS:
        newest: dict[tuple[int, str], float] = {}
        for one in (block for block in blocks if block.rule == rule):
            bands = [one.band] * len(one) if isinstance(one.band, str) else one.band
            luck = np.broadcast_to(np.asarray(one.false_alarms_per_year, dtype=float), len(one))
            # Rows of a line stand in order of time: the last one given stays.
            newest |= zip(zip(one.clinic.tolist(), bands, strict=True), luck.tolist(), strict=True)
        for (place, _), luck_of_line in newest.items():
            total[place] += 0.0 if luck_of_line != luck_of_line else luck_of_line
    clinic: Ints = np.flatnonzero(last >= 0)
    sentence = [
        f"{LINES} lines are watched here for alarms: the rate and {LINES - 1} groups of organisms. "
        f"Luck alone raises one of them {luck_words(float(one))}."
        for one in total[clinic]
    ]
    return Block(
        RULE, clinic, last[clinic], last[clinic], LINES, np.nan, np.nan, np.nan, total[clinic],
        sentence,
    )  # fmt: skip


def network_looks_block(network: int, last_day: int, of_clinics: Sequence[float]) -> Block:
    """The same for a network: the chance alarms of its clinics' newest looks, all together.

    network: its place among the names of the frame; of_clinics: each clinic's chance alarms a year.
    Source: statistics.md 2.22. Test: tests/surveillance/signals/test_looks.py.
    """
    together, clinics = float(sum(of_clinics)), len(of_clinics)
    sentence = (
        f"{LINES} lines in each of {clinics} clinics are watched for alarms. Luck alone raises one "
        f"of them, in some clinic, {luck_words(together)}."
    )
    return Block(
        RULE, np.array([network]), [last_day], last_day, LINES * clinics, np.nan, np.nan, np.nan,
        together, [sentence],
    )  # fmt: skip
