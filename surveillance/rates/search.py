"""Finds where a rising function crosses zero, for many cases at once."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

HALVINGS = 200  # stops earlier; enough for any two floating-point numbers


def between(low: Floats, high: Floats, rising: Callable[[Floats], Floats]) -> Floats:
    """The points of [low, high] where `rising` reaches 0, by halving; high where it stays below.

    low, high: brackets, one a case; rising: never falls from low to high. Exact to the last digits
    that floating point holds. Test: published/test_worked_examples.py, midp- and ratio-.
    """
    low, high = np.array(low, dtype=float), np.array(high, dtype=float)
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        if bool(np.all((middle == low) | (middle == high))):
            break
        below = rising(middle) < 0
        low = np.where(below, middle, low)
        high = np.where(below, high, middle)
    return high
