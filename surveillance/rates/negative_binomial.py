"""How strongly counts cluster in patients, by the negative binomial, for many groups at once."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import special

from surveillance.rates.search import between

Floats = NDArray[np.float64]

# Beyond these the clustering cannot be told from none, or from all episodes in one patient.
LOWEST_LOG_ALPHA, HIGHEST_LOG_ALPHA = -12.0, 6.0
NEWTON_STEPS = 100


@dataclass(frozen=True)
class Clustering:
    """One value a group; nan where the maximum lies at no or at boundless clustering."""

    alpha: Floats  # variance = mean + alpha x mean^2
    p_boundary: Floats  # half of P(chi-square with 1 df > likelihood ratio)


def _more_than(x: Floats) -> list[Floats]:
    """For 0, 1, 2, ... how many counts of each group exceed it."""
    return [(x > step).sum(axis=0).astype(float) for step in range(int(x.max(initial=0)))]


def _means(alpha: Floats, x: Floats, years: Floats) -> Floats:
    """Expected counts at the rate that fits best under a given clustering, by Newton steps."""
    log_rate = np.log(x.sum(axis=0) / years.sum(axis=0))
    for _ in range(NEWTON_STEPS):
        mean = np.exp(log_rate) * years
        shrunk = 1 + alpha * mean
        step = ((x - mean) / shrunk).sum(axis=0)
        step = step / (mean * (1 + alpha * x) / shrunk**2).sum(axis=0)
        log_rate = log_rate + step
        if (np.abs(step) < 1e-12).all():
            break
    return np.asarray(np.exp(log_rate) * years)


def _score(alpha: Floats, x: Floats, years: Floats, above: list[Floats]) -> Floats:
    """Slope of the profile likelihood in alpha."""
    mean = _means(alpha, x, years)
    own = np.log1p(alpha * mean) / alpha**2 - (x + 1 / alpha) * mean / (1 + alpha * mean)
    slope: Floats = own.sum(axis=0)
    for step, count in enumerate(above):
        slope = slope + count * step / (1 + alpha * step)
    return slope


def _gain(alpha: Floats, x: Floats, years: Floats, above: list[Floats]) -> Floats:
    """Log likelihood over that of the Poisson with its own rate."""
    mean = _means(alpha, x, years)
    plain = x.sum(axis=0) / years.sum(axis=0) * years
    clustered = special.xlogy(x, mean) - (x + 1 / alpha) * np.log1p(alpha * mean)
    gain: Floats = (clustered - special.xlogy(x, plain) + plain).sum(axis=0)
    for step, count in enumerate(above):
        gain = gain + count * np.log1p(alpha * step)
    return gain


def negative_binomial_clustering(events: Floats, patient_years: Floats) -> Clustering:
    """The clustering (alpha) of each group's counts, where it exists, and the test against none.

    events, patient_years: patients x groups; patients without time in a group have 0 in both.
    It exists where the squared deviations from the Poisson means exceed the counts in sum.
    Source: statistics.md 2.5. Test: tests/surveillance/rates/test_negative_binomial.py.
    """
    total, time = events.sum(axis=0), patient_years.sum(axis=0)
    mean = np.divide(total, time, out=np.zeros_like(time), where=time > 0) * patient_years
    asked = np.flatnonzero(((events - mean) ** 2).sum(axis=0) > total)
    alpha, p = (np.full(len(total), np.nan) for _ in range(2))
    if len(asked):
        x, years = events[:, asked], patient_years[:, asked]
        above = _more_than(x)
        low, high = (np.full(len(asked), end) for end in (LOWEST_LOG_ALPHA, HIGHEST_LOG_ALPHA))
        log_alpha = between(low, high, lambda at: -_score(np.exp(at), x, years, above))
        found = np.exp(log_alpha)
        gain = np.maximum(0, _gain(found, x, years, above))
        bounded = (log_alpha > LOWEST_LOG_ALPHA + 1) & (log_alpha < HIGHEST_LOG_ALPHA)
        alpha[asked] = np.where(bounded, found, np.nan)
        p[asked] = np.where(bounded, 0.5 * special.chdtrc(1, 2 * gain), np.nan)
    return Clustering(alpha, p)
