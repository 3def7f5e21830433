"""Effluent samples of an invented episode: cells, culture, organisms, resistances."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from clinic.demo.chance import chosen, happens, within
from clinic.demo.parameters import EffluentNumbers, Parameters
from clinic.demo.record_folder import Row

Sample = tuple[Row, tuple[str, ...]]  # the sample's cells, what grew from it


@dataclass(frozen=True)
class Grown:
    culture: str  # grown, no_growth, not_taken
    organisms: tuple[str, ...]


def grown(
    rng: np.random.Generator, numbers: Parameters, cause: str, given: tuple[str, ...] | None
) -> Grown:
    """What the culture shows: by the episode's cause, or what an earlier episode had."""
    effluent = numbers.effluent
    if happens(rng, effluent.not_taken_share):
        return Grown("not_taken", ())
    if given == () or happens(rng, effluent.culture_negative_share):
        return Grown("no_growth", ())
    organisms = given or _organisms(rng, numbers, cause)
    return Grown("grown", organisms)


def _organisms(rng: np.random.Generator, numbers: Parameters, cause: str) -> tuple[str, ...]:
    first = chosen(rng, numbers.organisms[cause])
    if not happens(rng, numbers.effluent.second_organism_share):
        return (first,)
    second = chosen(rng, numbers.organisms["enteric"])
    return (first,) if second == first else (first, second)


def effluent_samples(
    rng: np.random.Generator,
    numbers: Parameters,
    presented_at: datetime,
    found: Grown,
    refractory: bool,
) -> list[Sample]:
    """The sample at presentation, then, mostly, counts on day 3 and day 5 of treatment."""
    effluent = numbers.effluent
    taken_at = presented_at + timedelta(minutes=within(rng, (10, 40)))
    samples: list[Sample] = [
        (_first_sample(rng, effluent, taken_at) | {"culture": found.culture}, found.organisms)
    ]
    for days, quiet, angry in ((3, 180, 2400), (5, 35, 1100)):
        if happens(rng, effluent.followed_up_share):
            median = angry if refractory else quiet
            samples.append((_later_sample(rng, taken_at + timedelta(days=days), median), ()))
    return samples


def _first_sample(rng: np.random.Generator, numbers: EffluentNumbers, taken_at: datetime) -> Row:
    counted = not happens(rng, numbers.counts_unknown_share)
    dwell_known = not happens(rng, numbers.dwell_unknown_share)
    return {
        "collected_at": taken_at,
        "dwell_hours": within(rng, (2, 8)) if dwell_known else None,
        "leucocytes_per_ul": _cells(rng, numbers.median_per_ul, numbers.spread_log, 130)
        if counted
        else None,
        "neutrophil_percent": round(52 + 46 * float(rng.beta(4, 2))) if counted else None,
        "appearance": "cloudy",
        "antibiotics_before": "yes" if happens(rng, numbers.antibiotics_before_share) else "no",
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
