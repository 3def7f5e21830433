"""How far peritonitis clusters in patients, and limits of the rate that allow for it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy import special

from surveillance.estimates.basis import Basis
from surveillance.estimates.patients import OfPatients, of_patients
from surveillance.estimates.rows import Block, Floats
from surveillance.measures.facts import Facts
from surveillance.rates.bootstrap import bootstrap_limits, seed_of
from surveillance.rates.negative_binomial import negative_binomial_clustering
from surveillance.time_at_risk.stretches import Bools

RATE = "peritonitis_rate"
NO_EPISODE = "no episode"


def _over(part: NDArray[Any], whole: NDArray[Any]) -> Floats:
    none = np.full(np.shape(whole), np.nan)
    return np.asarray(np.divide(part, whole, out=none, where=whole > 0))


def _years(one: OfPatients, facts: Facts) -> Floats:
    return np.asarray(one.days / facts.rule_set.number("days_per_year"))


def _notes(none: Bools, texts: list[str] | None = None) -> list[str]:
    said = texts or [""] * len(none)
    return [NO_EPISODE if no else text for no, text in zip(none.tolist(), said, strict=True)]


def _dispersion(one: OfPatients, years: Floats) -> Block:
    """Pearson's chi-square over its degrees of freedom; 1 = no clustering."""
    count, patients = one.events.sum(axis=0), (one.days > 0).sum(axis=0)
    mean = _over(count, years.sum(axis=0)) * years
    chi_square = _over(one.events**2, mean)
    total = np.where(np.isnan(chi_square), 0, chi_square).sum(axis=0) - count
    phi = np.where(count > 0, _over(total, patients - 1.0), np.nan)
    return Block(f"{RATE}_dispersion", "pearson", one.at, phi, note=_notes(count == 0))


def _alpha(one: OfPatients, years: Floats) -> Block:
    found = negative_binomial_clustering(one.events.astype(float), years)
    texts = [f"p {p:.4g}" if p == p else "no more than by chance" for p in found.p_boundary]
    none = one.events.sum(axis=0) == 0
    name = f"{RATE}_clustering_alpha"
    return Block(name, "negative_binomial", one.at, found.alpha, note=_notes(none, texts))


def _robust(one: OfPatients, years: Floats, level: float) -> Block:
    """Limits on the log scale from the patients' own deviations, without a small-sample factor."""
    count, time = one.events.sum(axis=0), years.sum(axis=0)
    rate = _over(count, time)
    deviation = np.where(years > 0, one.events - rate * years, 0.0)
    error = _over(np.sqrt((deviation**2).sum(axis=0)), count.astype(float))
    width = special.ndtri(0.5 + level / 2) * error
    return Block(
        RATE, "patient_robust_hc0", one.at, rate,
        rate * np.exp(-width), rate * np.exp(width), note=_notes(count == 0),
    )  # fmt: skip


def _seeds(one: OfPatients, facts: Facts) -> list[int]:
    """A calendar year and the four quarters to its last are the same days: the same draws."""
    clinics = facts.at.record.clinics["clinic"].tolist()
    periods = [facts.when.periods[place] for place in one.at.period.tolist()]
    names = [clinics[place] for place in one.at.clinic.tolist()]
    return [
        seed_of(f"{name} {period.start} {period.last_day}")
        for name, period in zip(names, periods, strict=True)
    ]


def _bootstrap(one: OfPatients, facts: Facts, level: float) -> Block:
    days_per_year = facts.rule_set.number("days_per_year")
    limits = np.full((len(one.at), 2), np.nan)
    some = one.events.sum(axis=0) > 0
    for place, seed in enumerate(_seeds(one, facts)):
        here = one.days[:, place] > 0
        if some[place]:
            events, days = one.events[here, place], one.days[here, place]
            limits[place] = bootstrap_limits(events, days, days_per_year, seed, level)
    rate = _over(one.events.sum(axis=0), one.days.sum(axis=0) / days_per_year)
    method, notes = "patient_bootstrap", _notes(~some)
    return Block(RATE, method, one.at, rate, limits[:, 0], limits[:, 1], note=notes)


def clustering(basis: Basis) -> Iterator[Block]:
    """Dispersion, clustering, robust and bootstrap limits of the rate of peritonitis in years.

    Source: statistics.md 2.5. Test: tests/surveillance/estimates/test_clustering.py.
    """
    facts = basis.facts
    level = facts.rule_set.number("limits_level")
    for one in of_patients(facts):
        years = _years(one, facts)
        yield _dispersion(one, years)
        yield _alpha(one, years)
        yield _robust(one, years, level)
        yield _bootstrap(one, facts, level)
