"""The alarm limit of each size: the kept file, the published examples, the exact search."""

import numpy as np
import pytest

from surveillance.signals.cusum_limits import (
    FILE,
    WEEKS_PER_YEAR,
    YEARS_BETWEEN,
    exact_limit,
    grid,
    limits_for,
)


@pytest.mark.parametrize(
    ("patients", "limit", "years"),
    [(15, 2.5, 7.2), (30, 3.1, 8.7), (60, 3.5, 8.2), (100, 3.8, 8.2), (200, 4.0, 7.2)],
)
def test_limits_and_run_lengths_as_published(patients: int, limit: float, years: float) -> None:
    """Source: statistics.md 2.22, at 0.40 per patient-year."""
    found, luck = limits_for(patients * 0.4 * 7 / 365.25)
    assert found == limit
    assert 1 / luck == pytest.approx(years, abs=0.05)


def test_the_file_is_what_the_exact_search_gives() -> None:
    kept = np.loadtxt(FILE, delimiter=",", skiprows=1)
    assert kept[:, 0] == pytest.approx(grid(), rel=1e-7)
    for place in (5, 60, 118, 200, 300):
        step, weeks = exact_limit(float(grid()[place]), round(kept[place, 1] * 10) - 3)
        assert (step / 10, weeks) == (kept[place, 1], pytest.approx(kept[place, 2], rel=1e-4))


def test_chance_alarms_come_every_seven_years_at_most_for_any_size() -> None:
    _, luck = limits_for(np.geomspace(0.001, 11, 500))
    assert (1 / luck >= YEARS_BETWEEN).all()


def test_a_size_between_two_of_the_grid_takes_the_larger_one() -> None:
    kept = np.loadtxt(FILE, delimiter=",", skiprows=1)
    limit, luck = limits_for((kept[300, 0] + kept[301, 0]) / 2)
    assert (limit, luck) == (kept[301, 1], WEEKS_PER_YEAR / kept[301, 2])


def test_nobody_at_risk_has_no_limit() -> None:
    assert np.isnan(limits_for(0.0)).all()
