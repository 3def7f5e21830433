"""Makes the whole record of the demonstration's clinics from its parameters."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

import numpy as np

from clinic.demo.known import known_by
from clinic.demo.life import Life, begin_life
from clinic.demo.life_rows import life_rows
from clinic.demo.nursing import keep_beside
from clinic.demo.observations import add_observations
from clinic.demo.other_events import add_other_events
from clinic.demo.parameters import ClinicNumbers, Parameters
from clinic.demo.peritonitis import live_through_peritonitis
from clinic.demo.record_folder import Row, Rows
from clinic.demo.scripted import add_scripted
from clinic.demo.trainings import plan_trainings
from clinic.demo.visits import add_visits

# A stream of its own for what lies around the episodes: a change there moves no episode.
_AROUND = 1


def network_rows(numbers: Parameters) -> Rows:
    """Every clinic's rows, as known on the demonstration's day; the same seed, the same rows."""
    return known_by(whole_rows(numbers), numbers.today)


def whole_rows(numbers: Parameters) -> Rows:
    """All that happens and when it is entered, days to come among it."""
    return rows_of(numbers, numbers.clinics)


def rows_of(numbers: Parameters, clinics: Sequence[ClinicNumbers]) -> Rows:
    rows: Rows = {"clinics": [_clinic_row(numbers, clinic) for clinic in clinics]}
    for clinic in clinics:
        for subject, made in clinic_rows(numbers, clinic).items():
            rows.setdefault(subject, []).extend(made)
    return rows


def clinic_rows(numbers: Parameters, clinic: ClinicNumbers) -> Rows:
    """One clinic's rows; no other clinic has a part in them."""
    rows = Rows()
    lives = sorted(clinic_lives(numbers, clinic), key=lambda life: life.first_day)
    add_scripted(lives, numbers, clinic)
    for patient, life in enumerate(lives, start=1):
        _complete(life, numbers)
        whose: Row = {"clinic": clinic.code, "patient": f"P{patient:03d}"}
        for subject, made in life_rows(life, numbers, whose).items():
            rows.setdefault(subject, []).extend(made)
    return rows


def _clinic_row(numbers: Parameters, clinic: ClinicNumbers) -> Row:
    return {
        "clinic": clinic.code,
        "name": clinic.name,
        "time_zone": numbers.time_zone,
        "network": numbers.network,
    }


def _complete(life: Life, numbers: Parameters) -> None:
    """What lies around the episodes, once these are all there."""
    add_observations(life, numbers.training)
    add_visits(life, numbers.visit)
    keep_beside(life, numbers)


def clinic_lives(numbers: Parameters, clinic: ClinicNumbers) -> list[Life]:
    """Patients by entry: until the clinic is full, then as many as leave, and the lapse's extra.

    Each has a stream of chance of its own, so that a life lived again with the water bath in it
    is the same life up to that day.
    """
    rng = np.random.default_rng([numbers.seed, clinic.stream])
    factor = float(np.exp(numbers.peritonitis.clinic_spread_log * rng.normal()))
    lives: list[Life] = []
    for first_day in _first_days(numbers, clinic, rng, lives):
        lives.append(_live(numbers, clinic, len(lives), factor, first_day))
    for place in _exposed(clinic, rng, lives):
        first_day = lives[place].first_day
        lives[place] = _live(numbers, clinic, place, factor, first_day, is_exposed=True)
    return lives


def _live(
    numbers: Parameters, clinic: ClinicNumbers, place: int, factor: float, first_day: date,
    is_exposed: bool = False,
) -> Life:  # fmt: skip
    rng = np.random.default_rng([numbers.seed, clinic.stream, place])
    life = begin_life(rng, numbers, clinic, first_day)
    life.frailty *= factor
    life.is_exposed = is_exposed
    plan_trainings(life, numbers.training)
    live_through_peritonitis(life, numbers)
    if life.end_reason == "death":
        life.died_on = life.last_day
    add_other_events(life, numbers)
    life.rng = np.random.default_rng([numbers.seed, clinic.stream, place, _AROUND])
    return life


def _first_days(
    numbers: Parameters, clinic: ClinicNumbers, rng: np.random.Generator, lives: list[Life]
) -> Iterator[date]:
    """First days on PD; `lives` grows meanwhile, and tells when the clinic is full."""
    filling = (numbers.full_on - numbers.opened_on).days
    while sum(life.last_day >= numbers.full_on for life in lives) < clinic.patients_when_full:
        yield numbers.opened_on + timedelta(days=int(rng.integers(filling)))
    rest = (numbers.today - numbers.full_on).days
    per_year = numbers.population.entries_per_year * clinic.patients_when_full
    days = rng.integers(rest, size=rng.poisson(per_year * rest / 365.25))
    yield from (numbers.full_on + timedelta(days=int(day)) for day in days)
    if (lapse := clinic.lapse) is not None:
        length = (lapse.last_day - lapse.first_day).days
        for day in rng.integers(length, size=lapse.extra_starters):
            yield lapse.first_day + timedelta(days=int(day))


def _exposed(clinic: ClinicNumbers, rng: np.random.Generator, lives: list[Life]) -> list[int]:
    """Places of those who use the water bath: on PD when it begins."""
    bath = clinic.water_bath
    if bath is None:
        return []
    there = [
        place
        for place, life in enumerate(lives)
        if life.first_day <= bath.first_day and life.last_day > bath.last_day
    ]
    return [there[at] for at in rng.permutation(len(there))[: bath.patients]]
