"""A network's measure rows: sums of its clinics' counts, with limits of their own."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import date

import numpy as np

from surveillance.measures.rows import NAMES, Labels, Rows, in_order, measure_frame
from surveillance.models import Snapshot
from surveillance.periods import parse_period
from surveillance.rules import RULE_SETS
from surveillance.snapshots import periods, table_rows
from surveillance.table_text import table_text

NO_SUM = "median_patient_rate"  # a median of medians says nothing

Key = tuple[str, str, str, str]  # period, measure, split, band
Sums = dict[Key, tuple[int, int]]


def network_bodies(
    network: str, snapshots: Sequence[Snapshot], period: str, rule_set: str
) -> Iterator[str]:
    """The rows as canonical CSV without a header; of every clinic only counts are held.

    A clinic computed to an earlier day bounds them all: a later period would miss its counts.
    """
    kept = kept_periods(snapshots, period)
    sums = _sums(snapshots, kept)
    as_of = min(snapshot.as_of for snapshot in snapshots)
    if sums:
        labels = Labels([network], list(map(parse_period, kept)), RULE_SETS[rule_set], as_of)
        yield _text(sums, labels)


def _known_until(snapshot: Snapshot) -> date:
    if not snapshot.through:
        return snapshot.as_of
    return min(snapshot.as_of, parse_period(snapshot.through).last_day)


def kept_periods(snapshots: Sequence[Snapshot], period: str) -> list[str]:
    """The periods, or the one asked for, that every clinic knows to their end."""
    last_day = min(map(_known_until, snapshots))
    found = {text for snapshot in snapshots for text in periods(snapshot)}
    kept = {text for text in found if parse_period(text).last_day <= last_day}
    return sorted(kept & {period} if period else kept)


def _sums(snapshots: Sequence[Snapshot], kept: Sequence[str]) -> Sums:
    part: Counter[Key] = Counter()
    whole: Counter[Key] = Counter()
    for snapshot in snapshots:
        for text in set(periods(snapshot)).intersection(kept):
            for row in table_rows(snapshot, "measures", text):
                if row["measure"] != NO_SUM:
                    key = (text, row["measure"], row["split"] or "", row["band"] or "")
                    part[key] += row["numerator"]
                    whole[key] += row["denominator"]
    return {key: (part[key], whole[key]) for key in whole}


def _text(sums: Sums, labels: Labels) -> str:
    rows = in_order(_rows(sums, [period.text for period in labels.periods]), labels.periods)
    return table_text("measures", measure_frame(rows, labels)).partition("\n")[2]


def _rows(sums: Sums, period_names: Sequence[str]) -> Rows:
    """The sums as the measures' own rows, so that limits and verdicts are made in one place."""
    splits = tuple(sorted({split for _, _, split, _ in sums} | {""}))
    bands = tuple(sorted({band for _, _, _, band in sums}))
    period, measure, split, band = (
        np.array([names.index(key[place]) for key in sums], dtype=np.int64)
        for place, names in enumerate((period_names, NAMES, splits, bands))
    )
    counts = np.array(list(sums.values()), dtype=np.int64)
    return Rows(
        clinic=np.zeros(len(sums), dtype=np.int64), period=period, measure=measure, split=split,
        band=band, numerator=counts[:, 0], denominator=counts[:, 1],
        value=np.full(len(sums), np.nan), splits=splits, bands=bands,
    )  # fmt: skip
