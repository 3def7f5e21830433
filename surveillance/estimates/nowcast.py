"""How many episodes of the newest quarters are still on their way into the record."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from surveillance.rates.lateness import Nowcast, chain_ladder

QUARTERS_TO_LEARN_FROM = 12  # habits change: our choice


def nowcasts(cumulative: NDArray[np.float64]) -> dict[int, Nowcast]:
    """Expected final counts of the quarters that may still grow, by their place.

    cumulative: quarters, oldest first, x delays; counts in the record so many days after the
    quarter's end, not a number = that day has not come. A quarter whose last day has come is
    known, one whose growth nobody has seen yet cannot be told: neither is in the answer.
    Source: statistics.md 2.17. Test: tests/surveillance/estimates/test_nowcast.py.
    """
    found = {}
    for place in np.flatnonzero(np.isnan(cumulative[:, -1]) & ~np.isnan(cumulative[:, 0])):
        before = np.delete(cumulative, place, axis=0)[-QUARTERS_TO_LEARN_FROM:]
        expected = chain_ladder(np.vstack([before, cumulative[place]]).tolist())
        if np.isfinite(expected.nowcast):
            found[int(place)] = expected
    return found
