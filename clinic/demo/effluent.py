"""Effluent samples of an invented episode: cells, culture, organisms, resistances."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

import numpy as np

from clinic.demo.chance import chosen, happens, within
from clinic.demo.life import Life, Sample
from clinic.demo.parameters import ClinicNumbers, EffluentNumbers, Parameters
from clinic.demo.record_folder import Row


@dataclass(frozen=True)
class Grown:
    culture: str  # grown, no_growth, not_taken
    organisms: tuple[str, ...]


def grown(
    life: Life, numbers: Parameters, cause: str, onset_on: date, given: tuple[str, ...] | None
) -> Grown:
    """What the culture shows: by the episode's cause, or what an earlier episode had."""
    rng, effluent = life.rng, numbers.effluent
    if happens(rng, effluent.not_taken_share):
        return Grown("not_taken", ())
    if given == () or happens(rng, _negative_share(life.clinic, effluent, onset_on)):
        return Grown("no_growth", ())
    organisms = given or _organisms(rng, numbers, cause)
    return Grown("grown", organisms)


def _negative_share(clinic: ClinicNumbers, numbers: EffluentNumbers, day: date) -> float:
    if clinic.sampling is not None and day < clinic.sampling.changed_on:
        return clinic.sampling.negative_share_before
    return numbers.culture_negative_share


def _organisms(rng: np.random.Generator, numbers: Parameters, cause: str) -> tuple[str, ...]:
    first = chosen(rng, numbers.organisms[cause])
    if cause == "water" or not happens(rng, numbers.effluent.second_organism_share):
        return (first,)
    second = chosen(rng, numbers.organisms["enteric"])
    return (first,) if second == first else (first, second)


def effluent_samples(
    life: Life, numbers: Parameters, presented_at: datetime, found: Grown, refractory: bool
) -> list[Sample]:
    """The sample at presentation, then, mostly, counts on day 3 and day 5 of treatment."""
    rng, effluent = life.rng, numbers.effluent
    taken_at = presented_at + timedelta(minutes=within(rng, (10, 40)))
    first = _counts(rng, effluent) | culture_cells(life, effluent, taken_at, found.culture)
    samples: list[Sample] = [(first, found.organisms)]
    course = "refractory" if refractory else "cured"
    for days, median in ((3, effluent.day_3_per_ul[course]), (5, effluent.day_5_per_ul[course])):
        if happens(rng, effluent.followed_up_share):
            samples.append((_later_sample(rng, taken_at + timedelta(days=days), median), ()))
    return samples


def _counts(rng: np.random.Generator, numbers: EffluentNumbers) -> Row:
    counted = not happens(rng, numbers.counts_unknown_share)
    dwell_known = not happens(rng, numbers.dwell_unknown_share)
    neutrophils = max(51, round(100 * float(rng.beta(*numbers.neutrophil_beta))))
    return {
        "dwell_hours": within(rng, (2, 8)) if dwell_known else None,
        "leucocytes_per_ul": _cells(rng, numbers.median_per_ul, numbers.spread_log, 130)
        if counted
        else None,
        "neutrophil_percent": neutrophils if counted else None,
        "appearance": "cloudy",
        "antibiotics_before": "yes" if happens(rng, numbers.antibiotics_before_share) else "no",
    }


def culture_cells(life: Life, numbers: EffluentNumbers, taken_at: datetime, culture: str) -> Row:
    """How the sample went to the laboratory, and what its culture showed."""
    rng = life.rng
    row: Row = {"collected_at": taken_at, "culture": culture}
    if culture == "not_taken":
        return row
    sampling = life.clinic.sampling
    without = sampling is not None and taken_at.date() < sampling.changed_on
    bottles = not without and happens(rng, numbers.bottles_share)
    stained = {"no organisms seen": 0.7, "gram-positive cocci": 0.2, "gram-negative rods": 0.1}
    return row | {
        "volume_ml": 20 if bottles else 50,
        "bottles_inoculated": "yes" if bottles else "no",
        "reached_laboratory_at": taken_at
        + timedelta(hours=within(rng, numbers.hours_to_laboratory)),
        "gram_stain": chosen(rng, stained),
    }


def _cells(rng: np.random.Generator, median: float, spread_log: float, least: int) -> int:
    return int(np.clip(median * np.exp(spread_log * rng.normal()), least, 45_000))


def _later_sample(rng: np.random.Generator, taken_at: datetime, median: float) -> Row:
    cells = _cells(rng, median, 0.5, 2)
    return {
        "collected_at": taken_at,
        "dwell_hours": within(rng, (2, 6)),
        "leucocytes_per_ul": cells,
        "neutrophil_percent": within(rng, (30, 75)),
        "appearance": "cloudy" if cells > 100 else "clear",
        "culture": "not_taken",
    }


def resistances(
    rng: np.random.Generator, numbers: Parameters, organism: str
) -> list[tuple[str, str]]:
    """(agent, S or R) of the agents that a laboratory tests on this organism."""
    tested = numbers.susceptibility.get(organism, {})
    return [(agent, "R" if happens(rng, share) else "S") for agent, share in tested.items()]
