"""Rates of peritonitis by time since training against one band, with patients as clusters."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from scipy import special

from surveillance.cases.episodes import PERITONITIS
from surveillance.estimates.basis import Basis
from surveillance.estimates.patients import clinic_bounds, years_of_clinic
from surveillance.estimates.rates import TRAINING_CLOCK
from surveillance.estimates.rows import Block, Cells, Floats
from surveillance.measures.facts import Facts
from surveillance.measures.infection_rates import counted
from surveillance.rates.clustered_bands import BandRatioErrors, clustered_band_ratios
from surveillance.rates.exact_ratios import exact_ratios
from surveillance.time_at_risk.months import month_days
from surveillance.time_at_risk.splits import NONE_RECORDED
from surveillance.time_at_risk.stretches import Bools, Ints

REFERENCE = "91-181"
RATIO = "peritonitis_rate_ratio"
HETEROGENEITY = "peritonitis_rate_heterogeneity"


@dataclass(frozen=True)
class Split:
    """Days and counted episodes of every patient and band: a row a patient and band with days."""

    patient: Ints
    band: Ints
    labels: tuple[str, ...]
    days: Ints  # rows x periods
    events: Ints

    def of(self, patients: tuple[int, int], periods: Ints) -> tuple[Floats, Floats]:
        """Events and days of one clinic, patients x bands x periods."""
        first, stop = np.searchsorted(self.patient, patients)
        shape = (patients[1] - patients[0], len(self.labels), len(periods))
        events, days = np.zeros(shape), np.zeros(shape)
        row = slice(first, stop)
        place = (self.patient[row] - patients[0], self.band[row])
        events[place] = self.events[row][:, periods]
        days[place] = self.days[row][:, periods]
        return events, days


def split_of_patients(facts: Facts, clock: str) -> Split:
    """The Lexis split of each patient's days at risk by a clock, by period. Test: as below."""
    split, line = facts.steps[clock], facts.at.line
    width = len(split.labels)
    pieces, code = split.steps.cut(facts.at.at_risk)
    keys, cell = np.unique(line.patient(pieces.start) * width + code, return_inverse=True)
    start, stop = line.day(pieces.start), line.day(pieces.stop)
    days = month_days(cell, start, stop, len(keys), facts.when.months)
    rows, made = counted(PERITONITIS)(facts), facts.made
    patient, onset = made.rows.patient[rows], made.rows.onset[rows]
    own = np.searchsorted(keys, patient * width + split.steps.at(line.at(patient, onset)))
    events = facts.when.counts(own, onset, len(keys))
    return Split(keys // width, keys % width, split.labels, facts.when.sums(days), events)


@dataclass(frozen=True)
class _Clinic:
    """One clinic's bands x years, with the labels of the bands that the clock shows."""

    at: Cells
    labels: tuple[str, ...]
    events: Floats
    years: Floats
    found: BandRatioErrors

    def rows(self, chosen: Bools) -> tuple[Cells, Ints]:
        """Cells and bands of some bands x periods."""
        period, band = np.nonzero(chosen.T)
        return Cells(self.at.clinic[period], self.at.period[period]), band

    def block(self, method: str, chosen: Bools, value: Floats, *limits: Floats) -> Block:
        at, band = self.rows(chosen)
        lower, upper = (limit.T[chosen.T] for limit in limits)
        ratio = value.T[chosen.T]
        return Block(
            RATIO, method, at, ratio, lower, upper, f"against {REFERENCE} days",
            TRAINING_CLOCK, band, self.labels,
        )  # fmt: skip


def _wald(one: _Clinic, chosen: Bools, method: str, error: Floats, level: float) -> Block:
    with np.errstate(over="ignore"):
        width = np.exp(special.ndtri(0.5 + level / 2) * error)
    return one.block(
        method, chosen, one.found.ratio, one.found.ratio / width, one.found.ratio * width
    )


def _exact(one: _Clinic, chosen: Bools, reference: int, level: float) -> Block:
    """Without an episode in either band there are no Wald limits."""
    years = np.where(one.years > 0, one.years, 1.0)
    base = (one.events[reference], years[reference])
    found = exact_ratios(one.events, years, *base, level)
    return one.block("exact_conditional", chosen, found.ratio, found.lower, found.upper)


def _heterogeneity(one: _Clinic) -> Block:
    found = one.found
    notes = [
        f"p {p:.4g}; {df} df, days without a training left out"
        for p, df in zip(found.p, found.df, strict=True)
    ]
    value = np.where(found.df > 0, found.heterogeneity, np.nan)
    band = np.zeros(len(one.at), dtype=np.int64)
    return Block(
        HETEROGENEITY, "likelihood_ratio", one.at, value,
        note=notes, split=TRAINING_CLOCK, band=band,
    )  # fmt: skip


def training_bands(basis: Basis) -> Iterator[Block]:
    """Rate ratios of the bands since training in each year, and the test that all are equal.

    Source: statistics.md 2.12. Test: tests/surveillance/estimates/test_training_bands.py.
    """
    facts = basis.facts
    level = facts.rule_set.number("limits_level")
    split, bounds = split_of_patients(facts, TRAINING_CLOCK), clinic_bounds(facts).tolist()
    shown = [place for place, label in enumerate(split.labels) if label != NONE_RECORDED]
    labels = tuple(split.labels[place] for place in shown)
    reference = labels.index(REFERENCE)
    for clinic in range(len(facts.clinics)):
        at = years_of_clinic(facts, clinic)
        events, days = split.of((bounds[clinic], bounds[clinic + 1]), at.period)
        years = days[:, shown] / facts.rule_set.number("days_per_year")
        found = clustered_band_ratios(events[:, shown], years, reference)
        one = _Clinic(at, labels, events[:, shown].sum(axis=0), years.sum(axis=0), found)
        yield from _ratios(one, reference, level)
        yield _heterogeneity(one)


def _ratios(one: _Clinic, reference: int, level: float) -> Iterator[Block]:
    timed = (one.years > 0) & (one.years[reference] > 0)
    timed[reference] = False
    some = timed & (one.events > 0) & (one.events[reference] > 0)
    yield _wald(one, some, "poisson_wald", one.found.wald_error, level)
    yield _wald(one, some, "poisson_clustered", one.found.clustered_error, level)
    yield _exact(one, timed & ~some, reference, level)
