"""Rates of peritonitis and of catheter infections per patient-year at risk, with their splits."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from surveillance.cases.episodes import EXIT_SITE, PERITONITIS, TUNNEL
from surveillance.cases.organism_classes import CLASSES
from surveillance.measures.facts import Facts
from surveillance.measures.figures import Figure, Measure
from surveillance.time_at_risk.stretches import Ints

RowsOf = Callable[[Facts], Ints]


def counted(*kinds: int) -> RowsOf:
    """The counted rows of some kinds; an infection counted in two sites once."""

    def rows(facts: Facts) -> Ints:
        made = facts.made
        chosen = np.flatnonzero(made.counts & np.isin(made.rows.kind, kinds))
        if PERITONITIS in kinds:
            return chosen
        return chosen[np.unique(made.rows.source[chosen], return_index=True)[1]]

    return rows


def divided(facts: Facts, rows: Ints, split: str) -> Figure:
    """Rows and days by the bands of a split.

    An episode belongs to the band of its onset day, which has days, since it is at risk.
    Test: tests/surveillance/measures/test_compute.py.
    """
    days, made, at = facts.band_days[split], facts.made, facts.at
    band = facts.steps[split].steps.at(at.line.at(made.rows.patient[rows], made.rows.onset[rows]))
    cell = days.cell(made.clinic[rows], band)
    return Figure(
        numerator=facts.when.counts(cell, made.rows.onset[rows], len(days.clinic)),
        denominator=facts.when.sums(days.days),
        clinic=days.clinic,
        split=split,
        band=days.band,
        labels=days.labels,
    )


def by_class(facts: Facts, rows: Ints, code: Ints, split: str, labels: tuple[str, ...]) -> Figure:
    """Rows by a code of their own over all the clinic's days: days are not divided."""
    width, clinics = len(labels), len(facts.clinics)
    cell = facts.made.clinic[rows] * width + code
    return Figure(
        numerator=facts.when.counts(cell, facts.made.rows.onset[rows], clinics * width),
        denominator=np.repeat(facts.clinic_days, width, axis=0),
        clinic=np.repeat(facts.clinics, width),
        split=split,
        band=np.tile(np.arange(width), clinics),
        labels=labels,
    )


def rate(rows_of: RowsOf) -> Callable[[Facts], Iterator[Figure]]:
    """Counted infections over days at risk, undivided and in every split of the days."""

    def figures(facts: Facts) -> Iterator[Figure]:
        rows = rows_of(facts)
        yield Figure(facts.case_counts(rows), facts.clinic_days, facts.clinics)
        for split in facts.band_days:
            yield divided(facts, rows, split)

    return figures


def _peritonitis(facts: Facts) -> Iterator[Figure]:
    yield from rate(counted(PERITONITIS))(facts)
    rows = counted(PERITONITIS)(facts)
    yield by_class(facts, rows, facts.made.organism_class[rows], "organism_group", CLASSES)


def _rate(name: str, *kinds: int) -> Measure:
    return Measure(name, "patient_days", "exact_poisson", rate(counted(*kinds)))


INFECTION_RATES = (
    Measure("peritonitis_rate", "patient_days", "exact_poisson", _peritonitis),
    _rate("exit_site_infection_rate", EXIT_SITE),
    _rate("tunnel_infection_rate", TUNNEL),
    _rate("catheter_infection_rate", EXIT_SITE, TUNNEL),
)
