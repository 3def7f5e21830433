"""Signal rows that need several clinics: from the stored sums of each, made when asked for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import pandas as pd

from surveillance.models import Snapshot
from surveillance.network import kept_periods
from surveillance.periods import Period, day_number, parse_period
from surveillance.rules import RULE_SETS
from surveillance.signals.looks import RULE as LOOKS
from surveillance.signals.looks import network_looks_block
from surveillance.signals.network_rates import STRATA, Clinics, network_signals
from surveillance.signals.rows import Block, signal_frame
from surveillance.snapshots import table_rows
from surveillance.snapshots.read import NoSuchTable
from surveillance.table_text import table_text

MEASURE = "peritonitis_rate"

Counted = dict[str, tuple[int, int]]  # by band: episodes and patient-days


def network_signal_rows(
    network: str, snapshots: Sequence[Snapshot], period: str, rule_set: str
) -> pd.DataFrame:
    """Funnel and standardised ratios of a network in a rolling year, or in each of them; and how
    often luck raises an alarm in some clinic.

    period: as 2025-Q3/4q, or empty for every one that all clinics know to its end.
    """
    names = [*(snapshot.clinic.code for snapshot in snapshots), network]
    days_per_year = RULE_SETS[rule_set].number("days_per_year")
    blocks: list[Block] = []
    for one in map(parse_period, kept_periods(snapshots, period)):
        if one.kind == "rolling_year":
            blocks += network_signals(clinics_beside(snapshots, one, days_per_year))
    blocks.append(_looks(snapshots))
    return signal_frame(blocks, names)


def clinics_beside(snapshots: Sequence[Snapshot], period: Period, days_per_year: float) -> Clinics:
    """Counts and years of each clinic in a period, undivided and by modality."""
    return _clinics([_counted(one, period) for one in snapshots], period, days_per_year)


def network_signal_bodies(
    network: str, snapshots: Sequence[Snapshot], period: str, rule_set: str
) -> Iterator[str]:
    """The same as canonical CSV without a header."""
    frame = network_signal_rows(network, snapshots, period, rule_set)
    yield table_text("signals", frame).partition("\n")[2]


def _looks(snapshots: Sequence[Snapshot]) -> Block:
    own = [
        row["false_alarms_per_year"] or 0.0
        for snapshot in snapshots
        if snapshot.tables.filter(table="signals").exists()  # older software stored none
        for row in table_rows(snapshot, "signals")
        if row["rule"] == LOOKS
    ]
    last_day = min(day_number(snapshot.as_of) for snapshot in snapshots)
    return network_looks_block(len(snapshots), last_day, own)


def _counted(snapshot: Snapshot, period: Period) -> Counted:
    """The clinic's episodes and days, undivided ('') and by modality."""
    try:
        rows = table_rows(snapshot, "measures", period.text)
    except NoSuchTable:  # the clinic has no such period
        return {}
    return {
        row["band"] or "": (row["numerator"], row["denominator"])
        for row in rows
        if row["measure"] == MEASURE and row["split"] in (None, STRATA)
    }


def _clinics(found: Sequence[Counted], period: Period, days_per_year: float) -> Clinics:
    place = [number for number, one in enumerate(found) if one.get("", (0, 0))[1] > 0]
    bands = sorted({band for one in found for band in one if band})
    cells = np.array(
        [[found[number].get(band, (0, 0)) for band in ("", *bands)] for number in place]
    ).reshape(len(place), 1 + len(bands), 2)
    return Clinics(
        start=day_number(period.start), end=day_number(period.last_day),
        place=np.array(place, dtype=np.int64), network=len(found),
        counts=cells[:, 0, 0], years=cells[:, 0, 1] / days_per_year,
        strata_counts=cells[:, 1:, 0], strata_years=cells[:, 1:, 1] / days_per_year,
    )  # fmt: skip
