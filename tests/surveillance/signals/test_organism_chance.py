"""How many patients are a cluster, and how often luck makes one: by hand and by simulation."""

import numpy as np
import pytest

from surveillance.signals.first_isolates import LOOK_BACK_DAYS, WINDOW_DAYS
from surveillance.signals.organism_chance import (
    NEVER,
    chance,
    cluster_alarms_per_year,
    quiet_limit,
)


def test_three_with_no_other_and_four_of_seven_are_alarms() -> None:
    """Source: the limits that issue 5 asks for; statistics.md 2.22."""
    assert (quiet_limit(0), quiet_limit(3)) == (2, 3)
    assert quiet_limit(1) == 3  # three of four is none
    assert quiet_limit(4) == 4  # four of eight is none


def test_the_chance_by_hand() -> None:
    w = 1 / 13  # three of three within a share w of the time: 3 w^2 - 2 w^3
    assert chance(3, 3) == pytest.approx(3 * w**2 - 2 * w**3)


def test_a_record_too_young_to_tell_raises_no_alarm() -> None:
    assert quiet_limit(0, 15) == NEVER
    assert quiet_limit(0, 52) == 3  # three of three in a year are no surprise, four of four are
    assert chance(5, 5, 15) == 1.0


def test_once_in_about_1200_years_at_0_6_a_year() -> None:
    """Source: statistics.md 2.22."""
    assert 1 / cluster_alarms_per_year(0.6) == pytest.approx(1200, rel=0.03)


@pytest.mark.parametrize("rate", [1.0, 3.0, 8.0, 19.0, 30.0])
def test_chance_alarms_agree_with_a_simulation(rate: float) -> None:
    """A plain walk through made-up isolates; a look that is over within 8 weeks of another is the
    same alarm."""
    years, draw = 4_000, np.random.default_rng(20261127)
    onset = np.sort(draw.uniform(0, years * 365.25, draw.poisson(rate * years)))
    inside = np.arange(len(onset)) - np.searchsorted(onset, onset - WINDOW_DAYS) + 1
    total = np.arange(len(onset)) - np.searchsorted(onset, onset - LOOK_BACK_DAYS) + 1
    over = [one > quiet_limit(int(all_ - one)) for one, all_ in zip(inside, total, strict=True)]
    days = onset[np.array(over)]
    seen = (1 + int((np.diff(days) > WINDOW_DAYS).sum())) / years
    assert cluster_alarms_per_year(rate) == pytest.approx(seen, abs=0.004)
    assert seen > 0.0005
