"""Rates of counts over time at risk, and their limits."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import special

from surveillance.rates.search import between

Floats = NDArray[np.float64]
Number = float | Floats  # a number where numbers were given, else one for each

MONTHS_PER_YEAR = 12


@dataclass(frozen=True)
class Limits:
    """Two-sided limits, in the unit of the figure they belong to."""

    lower: Number
    upper: Number


@dataclass(frozen=True)
class CrudeRate:
    """A rate and the two ways people read it; not a number where there is nothing to divide."""

    patient_years: Number
    rate: Number  # episodes per patient-year
    months_per_episode: Number


@dataclass(frozen=True)
class Posterior:
    """What a gamma prior and the data say about the rate, per patient-year."""

    mean: Number
    lower: Number
    upper: Number
    p_at_or_below_target: Number


def _counts(events: ArrayLike, patient_years: ArrayLike) -> tuple[Floats, Floats]:
    x, years = np.asarray(events, dtype=float), np.asarray(patient_years, dtype=float)
    if (x < 0).any() or (years < 0).any():
        raise ValueError(
            f"events and patient_years are 0 or more, not {events!r}, {patient_years!r}"
        )
    return x, years


def tail(level: float) -> float:
    """What either side of a two-sided interval of that level leaves out."""
    if not 0 < level < 1:
        raise ValueError(f"level lies between 0 and 1, not {level!r}")
    return (1 - level) / 2


def _per_year(count: Floats, years: Floats) -> Number:
    with np.errstate(divide="ignore", invalid="ignore"):
        rate: Number = np.where(years > 0, count / years, np.nan)[()]
    return rate


def garwood(x: Floats, level: float) -> tuple[Floats, Floats]:
    """Exact limits of a Poisson mean from its count; 0 below a count of 0."""
    outside = tail(level)
    with np.errstate(invalid="ignore"):
        lower = np.where(x == 0, 0.0, special.gammaincinv(np.maximum(x, 1), outside))
    return lower, np.asarray(special.gammainccinv(x + 1, outside))


def exact_poisson_limits(events: ArrayLike, patient_years: ArrayLike, level: float) -> Limits:
    """Exact (Garwood) limits of a rate per patient-year; no limits without time at risk.

    events: counts, 0 or more; patient_years: 0 or more; level: between 0 and 1, as 0.95.
    Source: Garwood 1936 (memory), statistics.md 2.2. Test: test_worked_examples.py, exact-.
    """
    x, years = _counts(events, patient_years)
    lower, upper = garwood(x, level)
    return Limits(_per_year(lower, years), _per_year(upper, years))


def _upper_tail(x: Floats, mean: Floats) -> Floats:
    """P(X >= x) of a Poisson count, 1 at x = 0."""
    return np.where(x > 0, special.gammainc(np.maximum(x, 1), mean), 1.0)


def _more_or_half(x: Floats, mean: Floats) -> Floats:
    """P(X > x) + P(X = x) / 2: the mean of both tails, so no density is needed."""
    return (_upper_tail(x, mean) + _upper_tail(x + 1, mean)) / 2


def midp_of_mean(x: Floats, level: float) -> tuple[Floats, Floats]:
    """Mid-P limits of a Poisson mean, searched inside the exact ones, which are wider."""
    outside = tail(level)
    low, high = garwood(x, level)
    lower = between(low, high, lambda mean: _more_or_half(x, mean) - outside)
    upper = between(low, high, lambda mean: _more_or_half(x, mean) - (1 - outside))
    return np.where(x == 0, 0.0, lower), upper


def midp_poisson_limits(events: ArrayLike, patient_years: ArrayLike, level: float) -> Limits:
    """Mid-P limits of a rate per patient-year; no limits without time at risk.

    events: counts, 0 or more; patient_years: 0 or more; level: between 0 and 1, as 0.95.
    Source: Cohen & Yang 1994 (memory), statistics.md 2.3. Test: test_worked_examples.py, midp-.
    """
    x, years = _counts(events, patient_years)
    lower, upper = midp_of_mean(x, level)
    return Limits(_per_year(lower, years), _per_year(upper, years))


def crude_rate(events: ArrayLike, days: ArrayLike, days_per_year: float) -> CrudeRate:
    """Events over time at risk, and the months between them.

    events: counts, 0 or more; days: patient-days, 0 or more; days_per_year: 365 or 365.25.
    Without days there is no rate; without events no months between them.
    Source: statistics.md 2.1, published_checks W05-W09. Test: test_worked_examples.py, rate-.
    """
    x, at_risk = _counts(events, days)
    years = at_risk / days_per_year
    months = _per_year(MONTHS_PER_YEAR * years, x)
    return CrudeRate(years[()], _per_year(x, years), months)


def gamma_posterior(
    events: ArrayLike,
    patient_years: ArrayLike,
    prior_shape: float,
    prior_rate: float,
    target: float,
    level: float = 0.95,
) -> Posterior:
    """The chance that the true rate meets a target, and the rate's credible limits.

    events: counts; patient_years: 0 or more; prior_shape and prior_rate: of the gamma prior
    (Jeffreys: 0.5 and 0); target: per patient-year; level: of the limits.
    A flat prior rate without time at risk leaves nothing known: not a number throughout.
    Source: statistics.md 2.4. Test: test_worked_examples.py, post-.
    """
    x, years = _counts(events, patient_years)
    shape, rate, outside = prior_shape + x, prior_rate + years, tail(level)
    return Posterior(
        mean=_per_year(shape, rate),
        lower=_per_year(np.asarray(special.gammaincinv(shape, outside), dtype=float), rate),
        upper=_per_year(np.asarray(special.gammainccinv(shape, outside), dtype=float), rate),
        p_at_or_below_target=np.where(rate > 0, special.gammainc(shape, rate * target), np.nan)[()],
    )
