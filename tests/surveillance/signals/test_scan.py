"""The chance of a cluster in time never grows with its size, and never falls to a false zero."""

import numpy as np
import pytest

from surveillance.signals.scan import temporal_scan_max, temporal_scan_p


@pytest.mark.parametrize(("total", "fraction"), [(20, 0.1), (50, 8 / 104), (6, 0.3), (7, 0.6)])
def test_more_is_rarer(total: int, fraction: float) -> None:
    chances = [temporal_scan_p(k, total, fraction).p for k in range(1, total + 1)]
    assert chances == sorted(chances, reverse=True)
    assert chances[0] == 1.0


def test_a_usual_window_is_no_surprise() -> None:
    """Three of 47 in 8 of 104 weeks: the closed form alone gives a number below 0."""
    assert temporal_scan_p(3, 47, 8 / 104).p == 1.0


@pytest.mark.parametrize(("inside", "total"), [(11, 41), (9, 25)])
def test_many_agree_with_a_simulation(inside: int, total: int) -> None:
    """The approximation is a little too large, never too small. Source: statistics.md 2.11."""
    draw = np.random.default_rng(8)
    sets = 4_000
    seen = sum(
        temporal_scan_max(draw.integers(0, 728, total), 56).max_count >= inside
        for _ in range(sets)
    ) / sets  # fmt: skip
    stated = temporal_scan_p(inside, total, 56 / 728).p
    assert stated == pytest.approx(seen, abs=0.015)
