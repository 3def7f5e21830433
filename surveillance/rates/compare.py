"""Compares two rates, and a count with what was expected."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import special

from surveillance.rates.binomial import clopper_pearson
from surveillance.rates.poisson import garwood, midp_of_mean, tail
from surveillance.rates.search import between

Floats = NDArray[np.float64]

SMALLEST_EXPECTED = 1  # statistics.md 2.7: below it a standardised ratio is not shown
# R's binom.test counts outcomes as equally likely within this factor.
MINLIKE_SLACK = 1 + 1e-7


@dataclass(frozen=True)
class RateRatio:
    """Rate 1 over rate 2; the ratio is None where neither has events."""

    ratio: float | None
    exact: tuple[float, float]
    p_central: float  # agrees with the exact limits
    midp: tuple[float, float]
    p_midp: float  # agrees with the mid-P limits
    p_minlike_for_information: float  # what R's poisson.test prints; agrees with neither


@dataclass(frozen=True)
class StandardisedRatio:
    """Observed over expected; the expected count is taken as known."""

    expected: float
    ratio: float | None
    midp: tuple[float, float]
    exact: tuple[float, float]
    p_upper_midp: float  # P(more) + P(as many) / 2
    show: bool


def _at_least(x: float, n: float, share: Floats) -> Floats:
    """P(X >= x) of a binomial count."""
    if x <= 0:
        return np.ones_like(share)
    return np.zeros_like(share) if x > n else np.asarray(special.betainc(x, n - x + 1, share))


def _more_or_half(x: float, n: float, share: Floats) -> Floats:
    return (_at_least(x, n, share) + _at_least(x + 1, n, share)) / 2


def _midp_shares(x: float, n: float, level: float) -> tuple[float, float]:
    outside = tail(level)
    low, high = clopper_pearson(np.array(x), np.array(n), level)
    lower = between(low, high, lambda share: _more_or_half(x, n, share) - outside)
    upper = between(low, high, lambda share: _more_or_half(x, n, share) - (1 - outside))
    return float(lower) if x > 0 else 0.0, float(upper) if x < n else 1.0


def _as_ratio(share: float, years_1: float, years_2: float) -> float:
    return math.inf if share >= 1 else share / (1 - share) * years_2 / years_1


def _minlike_p(x: float, n: float, share: float) -> float:
    k = np.arange(n + 1)
    logs = -np.log(n + 1) - special.betaln(n - k + 1, k + 1)
    chance = np.exp(logs + special.xlogy(k, share) + special.xlog1py(n - k, -share))
    return float(min(1.0, chance[chance <= chance[int(x)] * MINLIKE_SLACK].sum()))


def rate_ratio(
    events_1: int,
    patient_years_1: float,
    events_2: int,
    patient_years_2: float,
    level: float,
) -> RateRatio:
    """One rate over another, with exact and mid-P limits and the p-values that agree with them.

    events: counts, 0 or more; patient_years: above 0; level: between 0 and 1. Given the sum of the
    events the first count is binomial; limits of its share are turned into limits of the ratio.
    Source: Przyborowski & Wilenski 1940 (memory), statistics.md 2.6. Test: ratio- examples.
    """
    if min(events_1, events_2) < 0 or min(patient_years_1, patient_years_2) <= 0:
        raise ValueError("events are 0 or more and patient_years above 0")
    years = (patient_years_1, patient_years_2)
    x, n = float(events_1), float(events_1 + events_2)
    if n == 0:
        return RateRatio(None, (0.0, math.inf), 1.0, (0.0, math.inf), 1.0, 1.0)
    equal = np.array(patient_years_1 / sum(years))
    exact = [float(limit) for limit in clopper_pearson(np.array(x), np.array(n), level)]
    midp = _midp_shares(x, n, level)
    more, less = float(_at_least(x, n, equal)), float(_at_least(n - x, n, 1 - equal))
    more_half, less_half = _more_or_half(x, n, equal), _more_or_half(n - x, n, 1 - equal)
    return RateRatio(
        ratio=x / years[0] * years[1] / events_2 if events_2 else math.inf,
        exact=(_as_ratio(exact[0], *years), _as_ratio(exact[1], *years)),
        p_central=min(1.0, 2 * min(more, less)),
        midp=(_as_ratio(midp[0], *years), _as_ratio(midp[1], *years)),
        p_midp=min(1.0, 2 * float(min(more_half, less_half))),
        p_minlike_for_information=_minlike_p(x, n, float(equal)),
    )


def standardised_ratio(
    reference_rates: Sequence[float],
    patient_years: Sequence[float],
    observed: int,
    level: float = 0.95,
) -> StandardisedRatio:
    """Observed events over those that reference rates would give with our own strata.

    reference_rates: per patient-year, one a stratum; patient_years: ours, likewise; observed: our
    count; level: of the limits. Not to be shown where fewer than 1 event is expected.
    Source: Breslow & Day 1987 (memory), statistics.md 2.7. Test: sir- examples.
    """
    expected = float(np.dot(reference_rates, patient_years))
    x = np.array(float(observed))
    midp, exact = midp_of_mean(x, level), garwood(x, level)
    at_least = float(special.gammainc(observed, expected)) if observed else 1.0
    more = float(special.gammainc(observed + 1, expected))
    return StandardisedRatio(
        expected=expected,
        ratio=observed / expected if expected > 0 else None,
        midp=_over(midp, expected),
        exact=_over(exact, expected),
        p_upper_midp=(at_least + more) / 2,
        show=expected >= SMALLEST_EXPECTED,
    )


def _over(limits: tuple[Floats, Floats], expected: float) -> tuple[float, float]:
    if expected <= 0:
        return math.nan, math.nan
    return float(limits[0]) / expected, float(limits[1]) / expected
