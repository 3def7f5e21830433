"""Shares of a whole, and their limits."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import special

from surveillance.rates.poisson import Number, tail

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Share:
    """A share (0-1) with two pairs of limits; not a number where the whole is 0."""

    share: Number
    clopper_pearson: tuple[Number, Number]
    wilson: tuple[Number, Number]


def clopper_pearson(x: Floats, n: Floats, level: float) -> tuple[Floats, Floats]:
    """Exact limits of a share; 0 below none, 1 above all, not a number at n = 0."""
    outside = tail(level)
    low = special.betaincinv(np.maximum(x, 1), np.maximum(n - x + 1, 1), outside)
    high = special.betainccinv(x + 1, np.maximum(n - x, 1), outside)
    nothing = np.where(n > 0, 0.0, np.nan)
    return np.where(x == 0, 0.0, low) + nothing, np.where(x == n, 1.0, high) + nothing


def _wilson(x: Floats, n: Floats, level: float) -> tuple[Floats, Floats]:
    z = float(special.ndtri(1 - tail(level)))
    share = x / n
    centre = share + z * z / (2 * n)
    spread = z * np.sqrt(share * (1 - share) / n + z * z / (4 * n * n))
    low, high = (centre - spread) / (1 + z * z / n), (centre + spread) / (1 + z * z / n)
    # The formula gives 0 and 1 here, but for rounding.
    return np.where(x == 0, 0 * n, low), np.where(x == n, 1.0, high)


def binomial_limits(events: ArrayLike, n: ArrayLike, level: float) -> Share:
    """A share with its exact (Clopper-Pearson) and its Wilson limits.

    events: counts, 0 to n; n: the whole, 0 or more; level: between 0 and 1, as 0.95.
    Source: Clopper & Pearson 1934, Wilson 1927 (both memory). Test: share- examples.
    """
    x, whole = np.asarray(events, dtype=float), np.asarray(n, dtype=float)
    if (x < 0).any() or (x > whole).any():
        raise ValueError(f"events lie between 0 and n, not {events!r} of {n!r}")
    known = np.where(whole > 0, whole, np.nan)
    exact, wilson = clopper_pearson(x, whole, level), _wilson(x, known, level)
    return Share((x / known)[()], (exact[0][()], exact[1][()]), (wilson[0][()], wilson[1][()]))
