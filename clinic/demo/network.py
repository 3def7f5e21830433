"""Makes the whole record of the demonstration's clinics from its parameters."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta

import numpy as np

from clinic.demo.effluent import Sample
from clinic.demo.known import known_by
from clinic.demo.life import Episode, Life, begin_life
from clinic.demo.life_rows import life_rows
from clinic.demo.other_events import add_other_events
from clinic.demo.parameters import ClinicNumbers, Parameters, Waiting
from clinic.demo.peritonitis import live_through_peritonitis
from clinic.demo.record_folder import Row, Rows
from clinic.demo.trainings import plan_trainings


def network_rows(numbers: Parameters) -> Rows:
    """Every clinic's rows, as known on the demonstration's day; the same seed, the same rows."""
    rows: Rows = {"clinics": [_clinic_row(numbers, clinic) for clinic in numbers.clinics]}
    for number, clinic in enumerate(numbers.clinics):
        lives = clinic_lives(numbers, clinic, np.random.default_rng([numbers.seed, number]))
        _add_waiting(lives, numbers, clinic)
        for patient, life in enumerate(lives, start=1):
            whose: Row = {"clinic": clinic.code, "patient": f"P{patient:03d}"}
            for subject, made in life_rows(life, numbers, whose).items():
                rows.setdefault(subject, []).extend(made)
    return known_by(rows, numbers.today)


def _clinic_row(numbers: Parameters, clinic: ClinicNumbers) -> Row:
    return {
        "clinic": clinic.code,
        "name": clinic.name,
        "time_zone": numbers.time_zone,
        "network": numbers.network,
    }


def one_life(
    numbers: Parameters, clinic: ClinicNumbers, rng: np.random.Generator, first_day: date
) -> Life:
    (own,) = rng.spawn(1)
    life = begin_life(own, numbers, clinic, first_day)
    plan_trainings(life, numbers.training, clinic.lapse)
    live_through_peritonitis(life, numbers)
    if life.end_reason == "death":
        life.died_on = life.last_day
    add_other_events(life, numbers)
    return life


def clinic_lives(
    numbers: Parameters, clinic: ClinicNumbers, rng: np.random.Generator
) -> list[Life]:
    """Patients by first day: entries until the clinic is full, then as many as leave."""
    lives: list[Life] = []
    filling = (numbers.full_on - numbers.opened_on).days
    while sum(life.last_day >= numbers.full_on for life in lives) < clinic.patients_when_full:
        first_day = numbers.opened_on + timedelta(days=int(rng.integers(filling)))
        lives.append(one_life(numbers, clinic, rng, first_day))
    rest = (numbers.today - numbers.full_on).days
    per_year = numbers.population.entries_per_year * clinic.patients_when_full
    for day in sorted(rng.integers(rest, size=rng.poisson(per_year * rest / 365.25))):
        lives.append(one_life(numbers, clinic, rng, numbers.full_on + timedelta(days=int(day))))
    return sorted(lives, key=lambda life: life.first_day)


def _add_waiting(lives: list[Life], numbers: Parameters, clinic: ClinicNumbers) -> None:
    """Episodes of the last weeks, each of a patient on PD who was long without one."""
    on_pd = [life for life in lives if life.last_day > numbers.today + timedelta(days=60)]
    quiet = [
        life
        for life in on_pd
        if all(episode.onset_on < numbers.today - timedelta(days=200) for episode in life.episodes)
    ]
    for life, waiting in zip(quiet[1::3], clinic.waiting, strict=False):
        life.episodes.append(_waiting_episode(numbers.today, waiting))


def _waiting_episode(today: date, waiting: Waiting) -> Episode:
    onset_on = today - timedelta(days=waiting.days_ago)
    presented_at = datetime.combine(onset_on, time(9, 20))
    cells: Row = {
        "presented_at": presented_at,
        "cloudy_effluent": "yes",
        "abdominal_pain": "yes",
        "first_antibiotic_at": presented_at + timedelta(minutes=95),
        "found_by": "clinic",
    }
    episode = Episode(onset_on, cells, samples=_waiting_samples(presented_at, waiting))
    if waiting.last_dose_days is not None:
        episode.therapy_completed_on = onset_on + timedelta(days=waiting.last_dose_days)
    return episode


def _waiting_samples(presented_at: datetime, waiting: Waiting) -> list[Sample]:
    first: Row = {
        "collected_at": presented_at + timedelta(minutes=25),
        "dwell_hours": 4,
        "leucocytes_per_ul": waiting.leucocytes_per_ul,
        "neutrophil_percent": waiting.neutrophil_percent,
        "appearance": "cloudy",
        "culture": waiting.culture,
        "antibiotics_before": "no",
    }
    samples: list[Sample] = [(first, (waiting.organism,) if waiting.organism else ())]
    if waiting.day_5_per_ul is not None:
        later: Row = {
            "collected_at": presented_at + timedelta(days=5),
            "dwell_hours": 4,
            "leucocytes_per_ul": waiting.day_5_per_ul,
            "neutrophil_percent": 40,
            "appearance": "clear",
            "culture": "not_taken",
        }
        samples.append((later, ()))
    return samples
