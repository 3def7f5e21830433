"""One invented patient on PD: who it is, from when until when, with which catheters."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

import numpy as np

from clinic.demo.chance import chosen, days_until, happens, within
from clinic.demo.parameters import ClinicNumbers, Parameters
from clinic.demo.record_folder import Row

Sample = tuple[Row, tuple[str, ...]]  # the sample's cells, what grew from it


@dataclass
class Episode:
    """One episode of peritonitis (or a call that was something else), still without a name."""

    onset_on: date
    cells: Row
    samples: list[Sample] = field(default_factory=list)
    admission: Row | None = None
    cause: str = ""  # empty: told, not drawn; none: ruled out
    organisms: tuple[str, ...] = ()  # what really grew; empty if nothing did
    therapy_completed_on: date | None = None
    calls: list[Row] = field(default_factory=list)
    therapies: list[Row] = field(default_factory=list)
    reviews: list[Row] = field(default_factory=list)
    entered_after_days: int | None = None  # none: drawn as for any other


@dataclass
class Life:
    """What happens to one patient; rows are made from it when it is complete."""

    rng: np.random.Generator
    clinic: ClinicNumbers
    first_day: date
    last_day: date  # last day on PD; may lie after today: the record then ends before it
    end_reason: str
    person: Row
    modality: str
    assistance: str
    frailty: float
    is_exposed: bool = False  # to the water bath
    switched_on: date | None = None
    died_on: date | None = None
    catheters: list[Row] = field(default_factory=list)
    trainings: list[Row] = field(default_factory=list)
    episodes: list[Episode] = field(default_factory=list)
    pauses: list[Row] = field(default_factory=list)
    others: dict[str, list[Row]] = field(default_factory=dict)  # by subject

    @property
    def years(self) -> float:
        return ((self.last_day - self.first_day).days + 1) / 365.25

    def end(self, last_day: date, reason: str) -> None:
        if last_day <= self.last_day:
            self.last_day, self.end_reason = last_day, reason

    def any_day(self) -> date:
        return self.first_day + timedelta(
            days=int(self.rng.integers((self.last_day - self.first_day).days + 1))
        )


def at_some_time(rng: np.random.Generator, day: date) -> datetime:
    """A moment of the working day: never the hour that a change of clocks removes or repeats."""
    minute = int(rng.integers(7 * 60 + 30, 19 * 60))
    return datetime(day.year, day.month, day.day, minute // 60, minute % 60)  # noqa: DTZ001


def begin_life(
    rng: np.random.Generator, numbers: Parameters, clinic: ClinicNumbers, first_day: date
) -> Life:
    """A patient who starts on `first_day`, with the end that other causes would bring."""
    reason, last_day = _other_end(rng, numbers, first_day)
    life = Life(
        rng=rng,
        clinic=clinic,
        first_day=first_day,
        last_day=last_day,
        end_reason=reason,
        person=_person(rng, numbers, first_day),
        modality="apd" if happens(rng, clinic.apd_share) else "capd",
        assistance=_assistance(rng, numbers),
        frailty=_frailty(rng, numbers.peritonitis.frailty_variance),
    )
    life.catheters.append(first_catheter(rng, numbers, first_day))
    life.switched_on = _switch_day(life, numbers)
    return life


def _other_end(rng: np.random.Generator, numbers: Parameters, first_day: date) -> tuple[str, date]:
    waits = {
        reason: days_until(rng, per_year)
        for reason, per_year in numbers.population.leaves_by.items()
    }
    reason = min(waits, key=lambda name: waits[name])
    return reason, first_day + timedelta(days=min(waits[reason], 20_000))


def _person(rng: np.random.Generator, numbers: Parameters, first_day: date) -> Row:
    population = numbers.population
    age = float(np.clip(rng.normal(population.mean_age_years, population.age_spread_years), 19, 90))
    known = not happens(rng, population.diabetes_unknown_share)
    diabetes = "yes" if happens(rng, population.diabetes_share) else "no"
    return {
        "birth_date": first_day - timedelta(days=int(age * 365.25)),
        "sex": "male" if happens(rng, 0.58) else "female",
        "diabetes": diabetes if known else "unknown",
    }


def _assistance(rng: np.random.Generator, numbers: Parameters) -> str:
    family, nurse = numbers.population.family_help_share, numbers.population.nurse_help_share
    return chosen(rng, {"family": family, "nurse": nurse, "self": 1 - family - nurse})


def _frailty(rng: np.random.Generator, variance: float) -> float:
    """Mean 1: some patients have many episodes, most have none."""
    return float(rng.gamma(1 / variance, variance))


def _switch_day(life: Life, numbers: Parameters) -> date | None:
    if life.modality == "apd":
        return None
    wait = 60 + days_until(life.rng, numbers.population.switch_to_apd_per_year)
    day = life.first_day + timedelta(days=min(wait, 20_000))
    return day if day < life.last_day else None


def first_catheter(rng: np.random.Generator, numbers: Parameters, first_day: date) -> Row:
    """Some weeks before the first day; never before the clinic opened, so that no empty year
    stands before its figures."""
    lead = within(rng, numbers.population.insertion_lead_days)
    lead = min(lead, (first_day - numbers.opened_on).days)
    return catheter(rng, numbers, first_day - timedelta(days=lead), lead)


def catheter(
    rng: np.random.Generator, numbers: Parameters, inserted_on: date, break_in_days: int
) -> Row:
    return {
        "inserted_on": inserted_on,
        "insertion_method": chosen(rng, numbers.population.insertion_methods),
        "break_in_days": break_in_days,
        "prophylaxis": chosen(rng, {"yes": 0.9, "no": 0.06, "unknown": 0.04}),
    }
