"""Clusters in time: the most cases in any window, and how often chance does as much."""

from __future__ import annotations

from dataclasses import dataclass
from math import comb, log

import numpy as np
from numpy.typing import ArrayLike
from scipy import special


@dataclass(frozen=True)
class ScanChance:
    p: float
    llr: float  # log likelihood ratio of the window against the rest
    exact: bool  # else the closed form is an approximation, a little too large


def temporal_scan_p(window_count: int, total_count: int, window_fraction: float) -> ScanChance:
    """Chance that some window of this length holds so many of so many cases, by luck.

    window_count k of total_count N in a window of window_fraction w of the time (0 < w < 1).
    Exact for k > N/2 and w <= 1/2.
    Source: Naus 1965, Wallenstein & Neff 1987 (formula from memory); scan-01 to scan-08.
    """
    k, n, w = window_count, total_count, window_fraction
    if not (1 <= k <= n and 0 < w < 1):
        raise ValueError(f"{k} of {n} in a window of {w}: 1 <= k <= N and 0 < w < 1")
    # The formula falls below 0 where k is near what chance puts into a window, or fewer: the
    # chance of k or more is never less than that of more.
    p = max(_naus(more, n, w) for more in range(k, n + 1))
    expected = n * w
    rest = (n - k) * log((n - k) / (n - expected)) if k < n else 0.0
    return ScanChance(min(1.0, max(0.0, p)), k * log(k / expected) + rest, k > n / 2 and w <= 0.5)


def _naus(k: int, n: int, w: float) -> float:
    at_k = comb(n, k) * w**k * (1 - w) ** (n - k)
    return (k / w - n - 1) * at_k + 2 * float(special.bdtrc(k - 1, n, w))


@dataclass(frozen=True)
class ScanMaximum:
    max_count: int


def temporal_scan_max(event_days: ArrayLike, window_days: int) -> ScanMaximum:
    """Most events in any window [d, d + window_days) of whole days; ties count.

    Source: own definition, by hand; worked examples scanmax-01 to scanmax-03.
    """
    if window_days < 1:
        raise ValueError(f"window_days {window_days}: 1 or more")
    days = np.sort(np.asarray(event_days, dtype=np.int64))
    if not days.size:
        return ScanMaximum(0)
    inside = np.searchsorted(days, days + window_days, side="left") - np.arange(days.size)
    return ScanMaximum(int(inside.max()))
