"""Signals as columns, and the signal rows that they become."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike, NDArray

from surveillance.text_columns import days_as_text, of_codes, of_texts
from surveillance.time_at_risk.stretches import Ints

Floats = NDArray[np.float64]

_NUMBERS = ("observed", "expected", "statistic", "limit", "p", "false_alarms_per_year")


@dataclass(frozen=True)
class Block:
    """Rows of one rule; what is not a finite number is an empty cell, a scalar holds for all."""

    rule: str
    clinic: Ints
    window_start: ArrayLike  # days since 1970-01-01
    window_end: ArrayLike  # itself in the window
    observed: ArrayLike
    expected: ArrayLike
    statistic: ArrayLike
    limit: ArrayLike
    false_alarms_per_year: ArrayLike
    sentence: Sequence[str]
    p: ArrayLike = np.nan
    measure: str = "peritonitis_rate"
    split: str = ""
    band: Sequence[str] | str = ""

    def __len__(self) -> int:
        return len(self.clinic)


def _whole(values: ArrayLike, size: int) -> Ints:
    return np.broadcast_to(np.asarray(values, dtype=np.int64), size)


def _number(values: ArrayLike, size: int) -> Floats:
    found = np.broadcast_to(np.asarray(values, dtype=np.float64), size)
    return np.where(np.isfinite(found), found, np.nan)


def _texts(values: Sequence[str] | str, size: int) -> NDArray[np.object_]:
    return np.full(size, values, dtype=object) if isinstance(values, str) else np.array(
        list(values), dtype=object
    )  # fmt: skip


def _joined(blocks: Sequence[Block], make: Any) -> Any:
    return np.concatenate([make(block) for block in blocks])


def signal_frame(found: Iterable[Block], clinics: Sequence[str]) -> pd.DataFrame:
    """Signal rows sorted by clinic, rule, measure, split, band and the window's last and first day.

    clinics: what the places in the blocks mean. Source: design 3.4.
    Test: tests/surveillance/signals/test_rows.py.
    """
    blocks = list(found)
    clinic = _joined(blocks, lambda one: one.clinic)
    texts = {
        name: of_texts(_joined(blocks, lambda one: _texts(getattr(one, name), len(one))))  # noqa: B023
        for name in ("rule", "measure", "split", "band")
    }
    start, end = (
        _joined(blocks, lambda one: _whole(getattr(one, name), len(one)))  # noqa: B023
        for name in ("window_start", "window_end")
    )
    codes = [texts[name].codes for name in ("band", "split", "measure", "rule")]
    order = np.lexsort((start, end, *codes, clinic))
    frame = pd.DataFrame(
        {
            "clinic": of_codes(clinic, clinics),
            **texts,
            "window_start": days_as_text(start),
            "window_end": days_as_text(end),
            **{
                name: _joined(blocks, lambda one: _number(getattr(one, name), len(one)))  # noqa: B023
                for name in _NUMBERS
            },
            "sentence": of_texts(_joined(blocks, lambda one: _texts(one.sentence, len(one)))),
        }
    )
    return frame.iloc[order].reset_index(drop=True)
