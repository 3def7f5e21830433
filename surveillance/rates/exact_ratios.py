"""Exact rate ratios for many pairs at once."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import special

from surveillance.rates.binomial import clopper_pearson

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class ExactRatios:
    """Rate 1 over rate 2; nan where neither has events, inf where only the second has none."""

    ratio: Floats
    lower: Floats
    upper: Floats
    p_central: Floats  # agrees with the limits


def _odds(share: Floats) -> Floats:
    return np.where(share < 1, share / np.where(share < 1, 1 - share, 1.0), np.inf)


def _at_least(x: Floats, n: Floats, share: Floats) -> Floats:
    """P(X >= x) of a binomial count."""
    inside = (x > 0) & (x <= n)
    shape = np.where(inside, x, 1.0)
    tail = special.betainc(shape, np.where(inside, n - x + 1, 1.0), share)
    return np.where(x <= 0, 1.0, np.where(inside, tail, 0.0))


def exact_ratios(
    events_1: ArrayLike,
    patient_years_1: ArrayLike,
    events_2: ArrayLike,
    patient_years_2: ArrayLike,
    level: float,
) -> ExactRatios:
    """Rate ratios with exact conditional limits and the central p-value that agrees with them.

    As `rates.compare.rate_ratio`, in columns. events: 0 or more; patient_years: above 0.
    Source: Przyborowski & Wilenski 1940 (memory), statistics.md 2.6. Test: test_exact_ratios.py.
    """
    x, y = np.asarray(events_1, dtype=float), np.asarray(events_2, dtype=float)
    years_1 = np.asarray(patient_years_1, dtype=float)
    years_2 = np.asarray(patient_years_2, dtype=float)
    n, scale = x + y, years_2 / years_1
    some = n > 0
    low, high = clopper_pearson(x, np.where(some, n, 1.0), level)
    equal = years_1 / (years_1 + years_2)
    tails = np.minimum(_at_least(x, n, equal), _at_least(y, n, 1 - equal))
    infinite = np.where(some, np.inf, np.nan)
    ratio = np.where(y > 0, x / np.where(y > 0, y, 1.0) * scale, infinite)
    return ExactRatios(
        ratio=ratio,
        lower=np.where(some, _odds(low) * scale, 0.0),
        upper=np.where(some, _odds(high) * scale, np.inf),
        p_central=np.where(some, np.minimum(1.0, 2 * tails), 1.0),
    )
