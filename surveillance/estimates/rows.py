"""Estimates as columns, and the estimate rows that they become."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from surveillance.measures.facts import Facts
from surveillance.periods import Period, PeriodKind
from surveillance.text_columns import of_codes, of_texts
from surveillance.time_at_risk.period_order import period_ranks
from surveillance.time_at_risk.stretches import Bools, Ints

Floats = NDArray[np.float64]

YEARS: tuple[PeriodKind, ...] = ("year", "rolling_year")
LONGER: tuple[PeriodKind, ...] = ("quarter", *YEARS)


@dataclass(frozen=True)
class Cells:
    """The clinic and the period of each row, as places."""

    clinic: Ints
    period: Ints

    def of(self, table: NDArray[Any]) -> Any:
        """Each row's value of a table of clinics x periods."""
        return table[self.clinic, self.period]

    def where(self, chosen: Bools) -> Cells:
        return Cells(self.clinic[chosen], self.period[chosen])

    def __len__(self) -> int:
        return len(self.clinic)


@dataclass(frozen=True)
class Block:
    """Rows of one name, method and split; what is not a finite number is an empty cell."""

    name: str
    method: str
    at: Cells
    value: NDArray[Any]
    lower: Floats | None = None
    upper: Floats | None = None
    note: Sequence[str] | str = ""
    split: str = ""
    band: Ints | None = None  # place of each row's band in labels
    labels: tuple[str, ...] = ("",)


def is_of(periods: Sequence[Period], kinds: Sequence[PeriodKind]) -> Bools:
    """Which periods are of some kinds. Test: tests/surveillance/estimates/test_rows.py."""
    return np.array([period.kind in kinds for period in periods], dtype=bool)


def cells(facts: Facts, kinds: Sequence[PeriodKind]) -> Cells:
    """Every clinic with every period of its own range, of some kinds. Test: test_rows.py."""
    clinic, period = facts.when.rows(facts.clinics, divided=False)
    asked = is_of(facts.when.periods, kinds)[period]
    return Cells(clinic[asked], period[asked])


def _finite(values: NDArray[Any] | None, size: int) -> Floats:
    if values is None:
        return np.full(size, np.nan)
    found = np.asarray(values, dtype=np.float64)
    return np.where(np.isfinite(found), found, np.nan)


def _notes(block: Block) -> NDArray[np.object_]:
    if isinstance(block.note, str):
        return np.full(len(block.at), block.note, dtype=object)
    return np.array(block.note, dtype=object)


def _bands(block: Block) -> NDArray[np.object_]:
    labels = np.array(block.labels, dtype=object)
    none = np.zeros(len(block.at), dtype=np.int64)
    return np.asarray(labels[none if block.band is None else block.band])


def _repeated(blocks: Sequence[Block], texts: Sequence[str]) -> NDArray[np.object_]:
    return np.repeat(np.array(texts, dtype=object), [len(block.at) for block in blocks])


def estimate_frame(
    blocks: Sequence[Block], clinics: Sequence[str], periods: Sequence[Period]
) -> pd.DataFrame:
    """Estimate rows sorted by clinic, days of the period, name, split, band and method.

    clinics, periods: what the places in the blocks mean. Source: design 3.4. Test: test_rows.py.
    """
    clinic = np.concatenate([block.at.clinic for block in blocks])
    period = np.concatenate([block.at.period for block in blocks])
    texts = {
        "name": of_texts(_repeated(blocks, [block.name for block in blocks])),
        "split": of_texts(_repeated(blocks, [block.split for block in blocks])),
        "band": of_texts(np.concatenate([_bands(block) for block in blocks])),
        "method": of_texts(_repeated(blocks, [block.method for block in blocks])),
    }
    numbers = {
        name: np.concatenate([_finite(getattr(block, name), len(block.at)) for block in blocks])
        for name in ("value", "lower", "upper")
    }
    span, text = period_ranks(periods)
    codes = [texts[name].codes for name in ("method", "band", "split", "name")]
    order = np.lexsort((text[period], *codes, span[period], clinic))
    frame = pd.DataFrame(
        {
            "clinic": of_codes(clinic, clinics),
            "period": of_codes(period, [one.text for one in periods]),
            **texts,
            **numbers,
            "note": of_texts(np.concatenate([_notes(block) for block in blocks])),
        }
    )
    return frame.iloc[order].reset_index(drop=True)
