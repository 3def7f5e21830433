"""Each clinic of a network against what the network's rates would give it, and its shrunk rate."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from surveillance.rates.clustering import PRIOR_EPISODES, PRIOR_YEARS, shrinkage
from surveillance.rates.compare import StandardisedRatio
from surveillance.rates.poisson import gamma_posterior
from surveillance.signals.network_rates import STRATA, Clinics, ratios

RATIO, RATE = "peritonitis_standardised_ratio", "peritonitis_rate"
NO_DIFFERENCE = "no evidence of difference between the clinics"
NO_LIMITS = (np.nan, np.nan)


@dataclass(frozen=True)
class BetweenRow:
    """One estimate of one clinic of the network."""

    place: int  # of the clinic in the network
    name: str
    method: str
    value: float
    limits: tuple[float, float]
    note: str


def between_clinics(one: Clinics, target: float, level: float) -> Iterator[BetweenRow]:
    """Standardised ratios and shrunk rates; none where fewer than two clinics were at risk.

    one: counts and years of one period; target: a rate per patient-year; level: of the limits.
    Source: statistics.md 2.7, 2.15. Test: tests/surveillance/estimates/test_between_clinics.py.
    """
    if len(one.place) > 1 and one.rate > 0:
        yield from _ratios(one, level)
        yield from _shrunk(one, target, level)


def _ratios(one: Clinics, level: float) -> Iterator[BetweenRow]:
    for place, found, seen in zip(one.place, ratios(one, level), one.counts, strict=True):
        ratio, limits = (found.ratio, found.midp) if found.show else (None, NO_LIMITS)
        value = np.nan if ratio is None else ratio
        note = _ratio_note(found, int(seen))
        yield BetweenRow(int(place), RATIO, "midp_poisson", value, limits, note)


def _ratio_note(found: StandardisedRatio, seen: int) -> str:
    if not found.show:
        return f"fewer than one expected ({found.expected:.3g}): not shown"
    return f"{seen} of {found.expected:.4g} expected by {STRATA}; upper p {found.p_upper_midp:.4g}"


def _shrunk(one: Clinics, target: float, level: float) -> Iterator[BetweenRow]:
    found = shrinkage(one.counts, one.years, PRIOR_EPISODES, PRIOR_YEARS, target)
    prior = gamma_posterior(one.counts, one.years, PRIOR_EPISODES, PRIOR_YEARS, target, level)
    lower, upper = np.atleast_1d(prior.lower), np.atleast_1d(prior.upper)
    note = "" if found.marshall_A > 0 else NO_DIFFERENCE
    for number, place in enumerate(one.place.tolist()):
        yield BetweenRow(place, RATE, "marshall", float(found.marshall[number]), NO_LIMITS, note)
        yield BetweenRow(
            place, RATE, "gamma_prior", float(found.fixed_prior[number]),
            (float(lower[number]), float(upper[number])),
            f"chance of a rate above {target:g}: {found.p_above[number]:.3f}",
        )  # fmt: skip
