"""The alarm limit of the weekly CUSUM for a clinic's own time at risk, and how often luck hits it.

The exact run lengths take minutes, so they were worked out once, on a grid of sizes a few percent
apart; `python -m surveillance.signals.cusum_limits` writes the file again.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import ArrayLike, NDArray

from surveillance.signals.cusum import lr_cusum_arl

Floats = NDArray[np.float64]

RATE_RATIO = 2.0  # a doubled rate is what the sum looks for; statistics.md 2.22
YEARS_BETWEEN = 7  # at least so long between two alarms that luck raises; statistics.md 2.22
LIMIT_STEP = 0.1
WEEKS_PER_YEAR = 365.25 / 7
GRID_STEP = 1.01
EPISODES_A_PATIENT_WEEK = 0.4 / WEEKS_PER_YEAR  # the grid counts patients at 0.40 a year
FILE = Path(__file__).with_name("cusum_limits.csv")


def grid() -> Floats:
    """Expected episodes a week for which the limit is worked out: of whole patients and parts.

    The run length is a saw-tooth in the mean (by some 3 percent), so that a finer grid would be no
    truer. Test: tests/surveillance/signals/test_cusum_limits.py.
    """
    patients = [
        np.arange(1, 80) / 4,
        np.arange(40, 100) / 2,
        np.union1d(np.arange(50, 250), np.round(100 * GRID_STEP ** np.arange(275))),  # to 1,528
    ]
    return np.asarray(np.concatenate(patients) * EPISODES_A_PATIENT_WEEK)


def exact_limit(mean: float, first_step: int = 1) -> tuple[int, float]:
    """The smallest limit, in steps of 0.1, that chance reaches every seven years at most.

    mean: expected episodes a week; first_step: where the search begins. Returns the step and the
    mean number of weeks between two such alarms. Source: statistics.md 2.22.
    Test: tests/surveillance/signals/test_cusum_limits.py.
    """
    step = max(1, first_step)
    while True:
        weeks = lr_cusum_arl(mean, 1, RATE_RATIO, step * LIMIT_STEP).arl_steps
        if weeks >= YEARS_BETWEEN * WEEKS_PER_YEAR:
            return step, weeks
        step += 1


def table_lines() -> Iterator[str]:
    """The file's lines. Test: test_cusum_limits.py."""
    step = 1
    yield "weekly_mean,limit,weeks_between\n"
    for mean in grid().tolist():
        step, weeks = exact_limit(mean, step - 4)
        yield f"{mean:.8g},{step / 10},{weeks:.6g}\n"


@cache
def _table() -> Floats:
    return np.loadtxt(FILE, delimiter=",", skiprows=1)


def limits_for(weekly_mean: ArrayLike) -> tuple[Floats, Floats]:
    """The limit for each expected number of episodes a week, and chance alarms a year at it.

    A mean between two of the file takes the limit of the upper one. Nobody at risk: no limit.
    Source: statistics.md 2.22. Test: tests/surveillance/signals/test_cusum_limits.py.
    """
    mean = np.asarray(weekly_mean, dtype=np.float64)
    table = _table()
    place = np.minimum(np.searchsorted(table[:, 0], mean * (1 - 1e-6)), len(table) - 1)
    some = mean > 0
    limit = np.where(some, table[place, 1], np.nan)
    return limit, np.where(some, WEEKS_PER_YEAR / table[place, 2], np.nan)


if __name__ == "__main__":
    FILE.write_text("".join(table_lines()), encoding="utf-8")
