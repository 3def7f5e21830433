"""How many episodes are still on their way into the record."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Nowcast:
    """The newest period's count so far, and what it is expected to become."""

    factors: Floats  # growth from each delay to the next
    latest: float
    nowcast: float
    share_in: float  # the share of the expected count that is already in


def chain_ladder(cumulative: Sequence[Sequence[float | None]]) -> Nowcast:
    """Expected final count of the newest period from the growth of the earlier ones.

    cumulative: one row a period, oldest first; counts known at each delay, None = not yet.
    A factor without any period to learn from, or from none at all, is nan.
    Source: Mack 1993 (from memory); worked example ladder-01.
    """
    if not cumulative or not cumulative[-1]:
        raise ValueError("cumulative: one row a period or more, none of them empty")
    table = np.array(
        [[np.nan if cell is None else float(cell) for cell in row] for row in cumulative]
    )
    both = ~np.isnan(table[:, 1:])
    grown = np.where(both, table[:, 1:], 0).sum(axis=0)
    before = np.where(both, table[:, :-1], 0).sum(axis=0)
    factors = np.divide(grown, before, out=np.full(before.shape, np.nan), where=before > 0)
    known = int(np.flatnonzero(~np.isnan(table[-1]))[-1])
    latest = float(table[-1, known])
    nowcast = latest * float(np.prod(factors[known:]))
    return Nowcast(factors, latest, nowcast, latest / nowcast if nowcast else float("nan"))
