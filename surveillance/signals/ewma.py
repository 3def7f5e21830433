"""Exponentially weighted moving average of counts."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike


@dataclass(frozen=True)
class EwmaPath:
    z: list[float]
    upper: list[float]
    first_alarm: int | None  # step counted from 1; None: no alarm


def ewma_path(counts: ArrayLike, mean: float, weight: float, width: float) -> EwmaPath:
    """Weighted average from the mean, against an upper limit that widens to its final width.

    counts: a step each; mean: expected count; weight in (0, 1]; width in standard deviations.
    Source: statistics.md 2.10; worked examples ewma-01, ewma-03.
    """
    if not 0 < weight <= 1:
        raise ValueError(f"weight {weight}: above 0 and at most 1")
    z, path = mean, []
    for count in np.asarray(counts, dtype=float):
        z = weight * float(count) + (1 - weight) * z
        path.append(z)
    steps = np.arange(1, len(path) + 1)
    spread = mean * weight / (2 - weight) * (1 - (1 - weight) ** (2 * steps))
    upper = mean + width * np.sqrt(spread)
    over = np.flatnonzero(np.array(path) > upper)
    return EwmaPath(path, upper.tolist(), int(over[0]) + 1 if over.size else None)
