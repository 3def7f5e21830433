"""The second default alarm: patients of one group of organisms close together in time."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from surveillance.signals.basis import Basis
from surveillance.signals.first_isolates import (
    BANDS,
    LOOK_BACK_DAYS,
    WINDOW_DAYS,
    FirstIsolates,
    first_isolates,
)
from surveillance.signals.organism_chance import (
    FEWEST_PATIENTS,
    LOOK_BACK_WEEKS,
    NEVER,
    PAIR,
    PAIR_OTHERS,
    WINDOW_WEEKS,
    chance,
    cluster_alarms_per_year,
    pair_lines_per_year,
    quiet_limit,
)
from surveillance.signals.phases import Floats
from surveillance.signals.rows import Block
from surveillance.signals.words import GROUP_WORDS, LOOKS, counted_words, day_words, luck_words
from surveillance.time_at_risk.stretches import Bools, Ints, changes

RULE, PAIR_RULE = "organism_cluster", "organism_pair"
SPLIT, MEASURE = "organism_group", "organism_rate"
_UNNAMED = BANDS.index("other_organism")  # two of these need not be the same organism
_LEAST_YEARS = 2.0  # a younger record says little of how common a group is


@dataclass(frozen=True)
class Looks:
    """Every look at a clinic's group: on the day of each first isolate, and on the last day."""

    clinic: Ints
    band: Ints
    day: Ints
    inside: Ints  # patients in the last 8 weeks
    total: Ints  # in the last 104 weeks
    weeks: Ints  # 104, fewer in a young record
    rate: Floats  # first isolates per year of the group in this clinic, over its record so far

    @property
    def others(self) -> Ints:
        return self.total - self.inside


class Told(NamedTuple):
    """One look in plain numbers, for its sentence."""

    band: str
    inside: int
    total: int
    weeks: int
    limit: int
    day: int
    p: float
    luck: float


Say = Callable[[Told], str]


def _asked(found: FirstIsolates, basis: Basis) -> tuple[Ints, Ints, Ints]:
    clinics, last = np.flatnonzero(basis.dated), basis.stop_day - 1
    clinic = np.concatenate([found.clinic, np.repeat(clinics, len(BANDS))])
    band = np.concatenate([found.band, np.tile(np.arange(len(BANDS)), len(clinics))])
    day = np.concatenate([found.onset, np.full(len(clinics) * len(BANDS), last)])
    order = np.lexsort((day, band, clinic))
    clinic, band, day = clinic[order], band[order], day[order]
    once: Bools = changes(clinic) | changes(band) | changes(day)
    return clinic[once], band[once], day[once]


def looks(found: FirstIsolates, basis: Basis) -> Looks:
    """What each look sees. Test: tests/surveillance/signals/test_organism_cluster.py."""
    clinic, band, day = _asked(found, basis)
    inside = found.count(clinic, band, day, WINDOW_DAYS)
    total = found.count(clinic, band, day, LOOK_BACK_DAYS)
    ever = found.count(clinic, band, day, int(day.max(initial=0)) + 10**5)
    known_days = np.maximum(day - basis.first_day_at_risk[clinic] + 1, 0)
    years = np.maximum(known_days / 365.25, _LEAST_YEARS)
    # One isolate more, so that a group not seen yet is rare rather than impossible; the patients
    # of the window itself left out, else a cluster would excuse itself.
    rate = (ever - inside + 1) / np.maximum(years - WINDOW_DAYS / 365.25, 1)
    weeks = np.clip(known_days // 7, 1, LOOK_BACK_WEEKS)
    return Looks(clinic, band, day, inside, total, weeks, rate)


def organism_cluster(basis: Basis) -> Iterator[Block]:
    """Alarm rows and quiet rows of every group, and information lines on pairs of unusual ones.

    Source: statistics.md 2.11, 2.22. Test: tests/surveillance/signals/test_organism_cluster.py.
    """
    seen = looks(first_isolates(basis.facts.made, basis.stop_day), basis)
    everywhere = np.ones(len(seen.clinic), dtype=bool)
    luck = cluster_alarms_per_year(seen.rate)
    asked = zip(seen.others.tolist(), seen.weeks.tolist(), strict=True)
    limit = np.array([quiet_limit(others, weeks) for others, weeks in asked], dtype=np.int64)
    yield _block(RULE, seen, everywhere, limit, luck, _sentence)
    pairs = (seen.inside == PAIR) & (seen.others <= PAIR_OTHERS) & (seen.band != _UNNAMED)
    limit = np.full(len(seen.clinic), PAIR - 1)
    yield _block(PAIR_RULE, seen, pairs, limit, pair_lines_per_year(seen.rate), _pair_sentence)


def _block(rule: str, seen: Looks, rows: Bools, limit: Ints, luck: Floats, say: Say) -> Block:
    names = [BANDS[code] for code in seen.band[rows].tolist()]
    inside, total, weeks, day = (
        column[rows] for column in (seen.inside, seen.total, seen.weeks, seen.day)
    )
    counts = [column.tolist() for column in (inside, total, weeks)]
    p = [chance(*one) if one[0] else np.nan for one in zip(*counts, strict=True)]
    rest = (limit[rows].tolist(), day.tolist(), p, luck[rows].tolist())
    told = [Told(*one) for one in zip(names, *counts, *rest, strict=True)]
    held = np.where(limit[rows] == NEVER, np.nan, limit[rows])
    return Block(
        rule, seen.clinic[rows], day - WINDOW_DAYS + 1, day, inside,
        total * WINDOW_WEEKS / np.maximum(weeks, WINDOW_WEEKS), inside, held, luck[rows],
        [say(one) for one in told], p, MEASURE, SPLIT, names,
    )  # fmt: skip


def _patients(number: int) -> str:
    return counted_words(number, "patient", "patients")


def _told(one: Told) -> str:
    return (
        f"{_patients(one.inside)} with {GROUP_WORDS[one.band]} in the eight weeks up to "
        f"{day_words(one.day)}, out of {one.total} in {one.weeks} weeks"
    )


def _sentence(one: Told) -> str:
    if not one.total:
        name, day = GROUP_WORDS[one.band], day_words(one.day)
        return f"Quiet: no patient with {name} in the {one.weeks} weeks up to {day}."
    if one.limit == NEVER:
        return f"{_told(one)}: the record is too young to tell."
    if one.inside > one.limit:
        return (
            f"Cluster: {_told(one)}. Luck brings so many so close together in {_percent(one.p)} "
            f"of such records, and raises an alarm of this group {luck_words(one.luck)} in this "
            f"clinic. {LOOKS} Treat it as real until checked."
        )
    return f"Quiet: {_told(one)}; an alarm needs {max(one.limit + 1, FEWEST_PATIENTS)}."


def _pair_sentence(one: Told) -> str:
    return (
        f"For information: {_told(one)}, an organism unusual here. Luck does this "
        f"{luck_words(one.luck)} for this group; it is no alarm."
    )


def _percent(p: float) -> str:
    return f"{100 * p:.1f} %" if p >= 0.001 else "less than 0.1 %"
