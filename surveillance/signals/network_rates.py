"""Clinics of a network beside each other: funnel, over-dispersion, ratios; no ranks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from scipy import special

from surveillance.rates.compare import StandardisedRatio, standardised_ratio
from surveillance.signals.funnel import funnel_limits_exact, funnel_overdispersion, smallest_count
from surveillance.signals.phases import Floats
from surveillance.signals.rows import Block
from surveillance.signals.words import day_words, episodes, luck_words
from surveillance.time_at_risk.stretches import Bools, Ints

OVERDISPERSION, RATIO = "funnel_overdispersion", "standardised_ratio"
# Rule: (chance below the limit, whether it is the upper one). Source: statistics.md 2.8.
LIMITS = {
    "funnel": (0.999, True),
    "funnel_low": (0.001, False),
    "funnel_warning": (0.975, True),
    "funnel_warning_low": (0.025, False),
}
FEWEST_CLINICS = 8  # with fewer, over-dispersion says nothing and widens no limit
WINSORISED = 0.1
RATIO_LEVEL = 0.975
STRATA = "modality"


@dataclass(frozen=True)
class Clinics:
    """The clinics with time at risk in one period, as places, and the network as the last place."""

    start: int  # days since 1970-01-01
    end: int  # itself in the period
    place: Ints
    network: int
    counts: Ints
    years: Floats
    strata_counts: Ints  # clinics x strata
    strata_years: Floats

    @property
    def rate(self) -> float:
        return float(self.counts.sum() / self.years.sum())


def network_signals(one: Clinics) -> Iterator[Block]:
    """Funnel rows and standardised ratios of a period; none where fewer than two were at risk.

    Source: statistics.md 2.7, 2.8. Test: tests/surveillance/signals/test_network_rates.py.
    """
    if len(one.place) < 2 or not one.rate > 0:
        return
    found = funnel_overdispersion(one.counts, one.years, WINSORISED)
    widened = found.inflate and len(one.place) >= FEWEST_CLINICS
    for rule, (chance, upper) in LIMITS.items():
        limit = _limits(one, chance, found.phi_winsorised if widened else None)
        yield _funnel(rule, one, limit, upper, widened)
    yield _overdispersion(one, found.phi_winsorised)
    yield _ratios(one)


def _limits(one: Clinics, chance: float, phi: float | None) -> Floats:
    if phi is None:
        return funnel_limits_exact(one.years, one.rate, [chance]).limits[:, 0]
    width = special.ndtri(chance) * np.sqrt(phi) / (2 * np.sqrt(one.years))
    return np.asarray(np.maximum(0, np.sqrt(one.rate) + width) ** 2)


def _funnel(rule: str, one: Clinics, limit: Floats, upper: bool, widened: bool) -> Block:
    mean, rates, edge = one.rate * one.years, one.counts / one.years, limit * one.years
    if upper:
        p = np.where(one.counts > 0, special.gammainc(np.maximum(one.counts, 1), mean), 1.0)
        luck = special.pdtrc(np.floor(edge + 1e-9), mean)
    else:
        p = special.pdtr(one.counts, mean)
        below = np.ceil(edge - 1e-9) - 1
        luck = np.where(below >= 0, special.pdtr(np.maximum(below, 0), mean), 0.0)
    out = rates > limit if upper else rates < limit
    sentence = _funnel_sentences(one, mean, rates, out, luck, upper, widened)
    return _block(rule, one, one.counts, mean, rates, limit, luck, sentence, p)


def _block(
    rule: str, one: Clinics, seen: Ints, mean: Floats, value: Floats, limit: Floats,
    luck: Floats, sentence: Sequence[str], p: Floats, split: str = "",
) -> Block:  # fmt: skip
    return Block(
        rule, one.place, np.full(len(one.place), one.start), one.end, seen, mean, value, limit,
        luck, sentence, p, split=split,
    )  # fmt: skip


def _funnel_sentences(
    one: Clinics, mean: Floats, rates: Floats, out: Bools, luck: Floats, upper: bool, widened: bool
) -> list[str]:
    clinics = len(rates)
    any_of_all = float(luck.sum())
    side = "above" if upper else "below"
    wide = ", widened because the clinics differ more than luck makes them" if widened else ""
    said = []
    for seen, expected, beyond, often in zip(one.counts, mean, out, luck, strict=True):
        told = (
            f"{episodes(int(seen))} from {day_words(one.start)} to {day_words(one.end)} where "
            f"the network's {one.rate:.2f} per patient-year gives {expected:.1f}"
        )
        if beyond:
            said.append(
                f"{side.capitalize()} the funnel{wide}: {told}. Luck puts a clinic of this size "
                f"there {luck_words(float(often))}, and some clinic of these {clinics} "
                f"{luck_words(any_of_all)}."
            )
        else:
            said.append(f"Not {side} the funnel{wide}: {told}. What lies inside is not ranked.")
    return said


def _overdispersion(one: Clinics, phi: float) -> Block:
    clinics = len(one.place)
    limit = 1 + 2 * np.sqrt(2 / clinics)
    more = (
        f"The {clinics} clinics differ more than luck makes them (dispersion {phi:.2f})."
        if phi > limit
        else f"The {clinics} clinics differ no more than luck makes them (dispersion {phi:.2f})."
    )
    few = f" With fewer than {FEWEST_CLINICS} clinics this says little." * (
        clinics < FEWEST_CLINICS
    )
    return Block(
        OVERDISPERSION, np.array([one.network]), [one.start], one.end, one.counts.sum(),
        np.nan, phi, limit, np.nan, [more + few],
    )  # fmt: skip


def ratios(one: Clinics, level: float = 0.95) -> list[StandardisedRatio]:
    """Observed over what the network's rates would give with each clinic's own mix of modality.

    level: of the limits. Source: statistics.md 2.7. Test: test_network_rates.py.
    """
    time = one.strata_years.sum(axis=0)
    rates = np.divide(one.strata_counts.sum(axis=0), time, out=np.zeros(len(time)), where=time > 0)
    return [
        standardised_ratio(rates, years, int(seen), level)
        for years, seen in zip(one.strata_years, one.counts, strict=True)
    ]


def _ratios(one: Clinics) -> Block:
    found = ratios(one)
    expected = np.array([each.expected for each in found])
    shown = np.array([each.show for each in found])
    mean = np.maximum(expected, 1e-300)
    most = smallest_count(np.full(len(mean), RATIO_LEVEL), mean)
    value = np.where(shown, one.counts / mean, np.nan)
    limit, luck = (
        np.where(shown, cell, np.nan) for cell in (most / mean, special.pdtrc(most, mean))
    )
    p = np.where(shown, [each.p_upper_midp for each in found], np.nan)
    sentence = [
        f"{episodes(int(seen))} where the network's rates, with this clinic's mix of modality, "
        f"give {each.expected:.1f}: ratio {each.ratio:.2f} (mid-P limits {each.midp[0]:.2f} to "
        f"{each.midp[1]:.2f})."
        if each.show
        else "Fewer than one episode is expected here: no ratio is shown."
        for each, seen in zip(found, one.counts, strict=True)
    ]
    return _block(RATIO, one, one.counts, expected, value, limit, luck, sentence, p, STRATA)
