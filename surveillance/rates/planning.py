"""How much time at risk it takes to know: power, sample size, reliability, many looks."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import special


@dataclass(frozen=True)
class PowerBelow:
    """The chance of proving, at a given true rate, that the rate lies below the target."""

    largest_count_that_rejects: int | None  # None: not even no episode at all would prove it
    power: float


@dataclass(frozen=True)
class PowerExcess:
    """The chance of noticing, at a given true rate, that the rate lies above the target."""

    smallest_count_that_rejects: int
    power: float
    size: float  # the chance of the same alarm at the target itself


def _count_at(probability: float, mean: float) -> int:
    """Smallest count whose cumulative Poisson probability reaches `probability`."""
    guess = max(0, int(special.pdtrik(probability, mean)) - 1)
    while special.pdtr(guess, mean) < probability:
        guess += 1
    return guess


def power_below_target(
    patient_years: float, true_rate: float, target: float, alpha_one_sided: float
) -> PowerBelow:
    """Exact power of the one-sided test that the rate is below the target.

    Rates per patient-year. Source: statistics.md 2.16; worked examples power-01 to power-07.
    """
    mean = target * patient_years
    count = _count_at(alpha_one_sided, mean)
    largest = count if special.pdtr(count, mean) <= alpha_one_sided else count - 1
    if largest < 0:
        return PowerBelow(None, 0.0)
    return PowerBelow(largest, float(special.pdtr(largest, true_rate * patient_years)))


def power_excess(
    patient_years: float, true_rate: float, target: float, alpha_one_sided: float
) -> PowerExcess:
    """Exact power of the one-sided test that the rate is above the target.

    Rates per patient-year. Source: statistics.md 2.16; worked examples powerx-01, powerx-02.
    """
    mean = target * patient_years
    count = _count_at(1 - alpha_one_sided, mean) + 1
    return PowerExcess(
        count,
        float(special.pdtrc(count - 1, true_rate * patient_years)),
        float(special.pdtrc(count - 1, mean)),
    )


@dataclass(frozen=True)
class PeriodSize:
    patient_years_each: float


def two_period_size(
    rate_1: float, rate_ratio: float, alpha_two_sided: float, power: float
) -> PeriodSize:
    """Patient-years that each of two periods needs to tell their rates apart (log scale).

    rate_1 per patient-year, above 0; rate_ratio other than 1, above 0.
    Source: statistics.md 2.16; worked examples size2-01, size2-02.
    """
    if rate_ratio <= 0 or rate_ratio == 1:
        raise ValueError(f"rate_ratio {rate_ratio}: above 0 and not 1")
    if rate_1 <= 0:
        raise ValueError(f"rate_1 {rate_1}: above 0")
    z = float(special.ndtri(1 - alpha_two_sided / 2) + special.ndtri(power))
    rate_2 = rate_1 * rate_ratio
    return PeriodSize(z**2 * (1 / rate_1 + 1 / rate_2) / float(np.log(rate_ratio)) ** 2)


@dataclass(frozen=True)
class Reliability:
    percent: float | None  # None: no episode, no relative error


def relative_standard_error(events: float) -> Reliability:
    """Relative standard error of a count, in percent (100 / sqrt(x)).

    Source: statistics.md 2.18; worked examples rse-01 to rse-03.
    """
    return Reliability(100 / float(np.sqrt(events)) if events > 0 else None)


@dataclass(frozen=True)
class Looks:
    p_any: float


def many_looks(tests: int, alpha: float) -> Looks:
    """Chance of at least one false alarm among independent tests.

    Source: statistics.md 2.21; worked examples looks-01, looks-02.
    """
    return Looks(float(-np.expm1(tests * np.log1p(-alpha))))


@dataclass(frozen=True)
class FreeShare:
    """What a rate means for the share of patients without an episode in a year."""

    free_if_equal_risk: float
    rate_for_80_percent: float
    nb_alpha_for_80_percent: float | None  # None: equal risk already leaves 80 % free


def peritonitis_free_from_rate(rate: float) -> FreeShare:
    """Share of patients free for a year at this rate, and the clustering that 80 % would need.

    rate per patient-year. Source: statistics.md 2.19; worked example free-01.
    """
    needed = -float(np.log(0.8))
    return FreeShare(float(np.exp(-rate)), needed, _alpha_for(rate, needed))


def _alpha_for(rate: float, log_free: float) -> float | None:
    """alpha with ln(1 + alpha rate) / alpha = log_free, by bisection on a falling function."""
    if rate <= log_free:
        return None
    low, high = 1e-9, 1.0
    while np.log1p(high * rate) / high > log_free:
        high *= 2
    for _ in range(200):
        middle = (low + high) / 2
        low, high = (middle, high) if np.log1p(middle * rate) / middle > log_free else (low, middle)
    return (low + high) / 2
