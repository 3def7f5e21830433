"""Limits of a rate from drawing its patients again, the same ones in every run."""

from __future__ import annotations

import hashlib

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]

RESAMPLES = 2_000
_HALF = np.uint64(32)
# Counts stand above the days in one number, so that a draw is looked up and summed once.
_DAYS_BITS = 40


def seed_of(text: str) -> int:
    """A seed that depends on the text alone, on any machine. Test: test_bootstrap.py."""
    return int.from_bytes(hashlib.sha256(text.encode()).digest()[:8], "big")


def _draws(patients: int, seed: int) -> NDArray[np.intp]:
    """Patients drawn with replacement, RESAMPLES rows of as many as there are.

    numpy promises the raw stream for all time, and that of its own draws not.
    """
    raw = np.random.PCG64(seed).random_raw(RESAMPLES * patients) >> _HALF
    drawn = (raw * np.uint64(patients)) >> _HALF
    return drawn.astype(np.intp).reshape(RESAMPLES, patients)


def bootstrap_limits(
    events: Ints, days: Ints, days_per_year: float, seed: int, level: float
) -> tuple[float, float]:
    """Percentile limits of a rate per patient-year when patients, not episodes, are drawn again.

    events, days: one a patient, days above 0; seed: of the draws; level: as 0.95.
    Source: statistics.md 2.5. Test: tests/surveillance/rates/test_bootstrap.py.
    """
    both = (events.astype(np.int64) << _DAYS_BITS) + days
    sums = both[_draws(len(both), seed)].sum(axis=1)
    rates = (sums >> _DAYS_BITS) * days_per_year / (sums & ((1 << _DAYS_BITS) - 1))
    lower, upper = np.quantile(rates, [(1 - level) / 2, (1 + level) / 2])
    return float(lower), float(upper)
