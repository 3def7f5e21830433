"""When so many patients with one group of organisms are a cluster, and how often luck makes one."""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import special

from surveillance.signals.first_isolates import LOOK_BACK_DAYS, WINDOW_DAYS
from surveillance.signals.scan import temporal_scan_p
from surveillance.time_at_risk.stretches import Ints

Floats = NDArray[np.float64]

WINDOW_WEEKS, LOOK_BACK_WEEKS = WINDOW_DAYS // 7, LOOK_BACK_DAYS // 7
FEWEST_PATIENTS = 3  # statistics.md 2.22
LEVEL = 0.05
PAIR = 2  # patients of an information line
PAIR_OTHERS = 1  # an unusual group has no more other patients than this in the look-back; ours
NEVER = 10**6  # more patients than any group has
_MOST = 150  # others that a yearly frequency counts with; more are practically impossible
_DAYS_PER_YEAR = 365.25
# Isolates a year, and the share of the patients one too many that begin an alarm: the others come
# within 8 weeks of one that stands. Simulated, some 3 million isolates each, seed 1.
_BEGIN = np.array(
    [
        (1, 1.0), (2, 0.964), (4, 0.933), (8, 0.874), (12, 0.821), (16, 0.784), (24, 0.747),
        (32, 0.712), (48, 0.638), (64, 0.608),
    ]
)  # fmt: skip


@cache
def chance(inside: int, total: int, weeks: int = LOOK_BACK_WEEKS) -> float:
    """Chance that luck puts so many of so many into some 8 of the weeks looked back on.

    A record of less than 16 weeks cannot tell: 1. Source: statistics.md 2.11. Test: as below.
    """
    if not inside or weeks < 2 * WINDOW_WEEKS:
        return 1.0
    return temporal_scan_p(inside, total, WINDOW_WEEKS / weeks).p


@cache
def quiet_limit(others: int, weeks: int = LOOK_BACK_WEEKS) -> int:
    """The most patients in 8 weeks that are no alarm, beside so many in the other weeks.

    An alarm: at least three patients and Naus p < 0.05. weeks: how many are looked back on, 104
    unless the record is younger. Source: statistics.md 2.22.
    Test: tests/surveillance/signals/test_organism_chance.py.
    """
    inside = FEWEST_PATIENTS
    if weeks < 2 * WINDOW_WEEKS:
        return NEVER
    while chance(inside, inside + others, weeks) >= LEVEL:
        inside += 1
    return inside - 1


@cache
def _quiet_limits() -> Ints:
    return np.array([quiet_limit(others) for others in range(_MOST + 1)], dtype=np.int64)


def cluster_alarms_per_year(rate: ArrayLike) -> Floats:
    """Chance alarms a year of one group, for a rate of first isolates per year.

    Each isolate is asked: those of the 8 weeks before it and of the 96 weeks before those are
    independent Poisson counts. It begins an alarm where it is the one patient too many, unless
    another alarm of the group still stands. Source: by hand; statistics.md 2.22 has about once in
    1,200 years at 0.6. Test: tests/surveillance/signals/test_organism_chance.py.
    """
    rates = np.asarray(rate, dtype=np.float64)
    share = np.interp(np.log(np.maximum(rates, 1)), np.log(_BEGIN[:, 0]), _BEGIN[:, 1])
    return np.asarray(_per_year(rates, _quiet_limits()[:, None]) * share)


def pair_lines_per_year(rate: ArrayLike) -> Floats:
    """The same for the information line: two patients of an unusual group.

    Source: by hand. Test: as above.
    """
    rates = np.asarray(rate, dtype=np.float64)
    return _per_year(rates, np.full((PAIR_OTHERS + 1, 1), PAIR - 1))


def _per_year(rate: Floats, limits: Ints) -> Floats:
    per_day = rate.ravel()[None, :] / _DAYS_PER_YEAR
    others = np.arange(len(limits))[:, None]
    outside = per_day * (LOOK_BACK_DAYS - WINDOW_DAYS)
    weight = np.exp(special.xlogy(others, outside) - outside - special.gammaln(others + 1))
    inside = per_day * WINDOW_DAYS
    chance_each = weight * np.exp(
        special.xlogy(limits, inside) - inside - special.gammaln(limits + 1)
    )
    return np.asarray((rate.ravel() * chance_each.sum(axis=0)).reshape(rate.shape))
