"""The weighted average of months, against the function for a constant mean."""

import numpy as np
import pytest

from surveillance.signals.alarm import is_alarm, stands_out
from surveillance.signals.ewma import ewma_path
from surveillance.signals.monthly_ewma import WEIGHT, WIDTH, ewma_of_ratios
from surveillance.signals.phases import Phase
from tests.surveillance.records import day
from tests.surveillance.signals.watched import clinic, signals

RULE = "monthly_ewma"
COUNTS = [1, 0, 2, 1, 0, 3, 2, 1, 3, 4, 2]  # statistics.md 2.10
# Eight episodes a month among 30 patients, after years of none.
RISE = [
    (f"2025-{month:02}-{3 * place + 2:02}", 8 * month + place - 80, "")
    for month in (10, 11, 12) for place in range(8)
]  # fmt: skip


def of(counts: list[int], expected: list[float], restarts: list[bool] | None = None):
    no = restarts or [False] * len(counts)
    z, limit = ewma_of_ratios(np.array([counts]), np.array([expected]), np.array([no]))
    return z[0].tolist(), limit[0].tolist()


@pytest.mark.parametrize("mean", [1.0, 2.5])
def test_equal_months_give_the_path_over_its_mean(mean: float) -> None:
    """Source: `ewma_path`, held to worked examples ewma-01, ewma-03."""
    z, limit = of(COUNTS, [mean] * len(COUNTS))
    path = ewma_path(COUNTS, mean, WEIGHT, WIDTH)
    assert z == pytest.approx([value / mean for value in path.z])
    assert limit == pytest.approx([value / mean for value in path.upper])


def test_a_month_with_nobody_at_risk_changes_nothing() -> None:
    z, limit = of([1, 0, 2], [1.0, 0.0, 1.0])
    plain = of([1, 2], [1.0, 1.0])
    assert np.isnan([z[1], limit[1]]).all()
    assert ([z[0], z[2]], [limit[0], limit[2]]) == plain


def test_a_phase_starts_anew() -> None:
    z, limit = of([9, 9, 1], [1.0] * 3, [False, False, True])
    assert (z[2], limit[2]) == (1.0, pytest.approx(1 + WIDTH * WEIGHT))


def test_rows_are_the_months_that_stand_out_and_the_newest() -> None:
    rows = signals(clinic(30, RISE), RULE)
    assert [row["window_end"] for row in rows] == ["2025-11-30", "2025-12-31"]
    assert all(map(stands_out, rows))
    assert not any(map(is_alarm, rows))
    (quiet,) = signals(clinic(30, []), RULE)
    assert (quiet["window_end"], stands_out(quiet)) == ("2025-12-31", False)


def test_an_agreed_baseline_is_what_is_expected() -> None:
    phases = {"A": [Phase(day("2022-01-01"), 0.2)]}
    (row,) = signals(clinic(30, []), RULE, phases=phases)
    assert row["expected"] == pytest.approx(0.2 * 30 * 31 / 365.25)
