"""The demonstration's numbers: fixtures/demo/parameters.toml as frozen dataclasses."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

Shares = dict[str, float]
Range = tuple[int, int]  # both ends may be drawn


@dataclass(frozen=True)
class Waiting:
    """An episode of the last weeks with something still to be written; what is empty waits."""

    days_ago: int
    leucocytes_per_ul: int
    neutrophil_percent: float
    culture: str = "pending"
    organism: str = ""
    day_5_per_ul: int | None = None
    last_dose_days: int | None = None  # after onset


@dataclass(frozen=True)
class Lapse:
    """A time without scheduled reassessments, when one trainer shortened the initial training."""

    first_day: date
    last_day: date
    trainer: str
    initial_hours: int
    catch_up_days: int  # afterwards everybody is reassessed once within these

    def holds(self, day: date) -> bool:
        return self.first_day <= day <= self.last_day


@dataclass(frozen=True)
class ClinicNumbers:
    code: str
    name: str
    patients_when_full: int
    apd_share: float
    waiting: tuple[Waiting, ...]
    lapse: Lapse | None = None


@dataclass(frozen=True)
class Population:
    entries_per_year: float  # for each patient of the full clinic
    leaves_by: Shares  # hazard per patient-year by end reason
    mean_age_years: float
    age_spread_years: float
    diabetes_share: float
    diabetes_unknown_share: float
    family_help_share: float
    nurse_help_share: float
    switch_to_apd_per_year: float
    insertion_methods: Shares
    insertion_lead_days: Range


@dataclass(frozen=True)
class TrainingNumbers:
    trainers: tuple[str, ...]
    initial_days: Range
    initial_hours: Range
    first_scheduled_days: int
    then_every_days: int
    spread_days: int
    missed_share: float
    triggered_share: float
    triggered_within_days: int
    competent_share: float


@dataclass(frozen=True)
class PeritonitisNumbers:
    rate: Shares  # per patient-year by modality
    helped_factor: float
    frailty_variance: float
    causes: Shares
    fresh_days: int
    stale_days: int
    fresh_factor: float
    stale_factor: float
    enteric_season: float
    enteric_peak_day: int
    ruled_out_rate: float


@dataclass(frozen=True)
class EffluentNumbers:
    culture_negative_share: float
    not_taken_share: float
    second_organism_share: float
    median_per_ul: float
    spread_log: float
    dwell_unknown_share: float
    counts_unknown_share: float
    followed_up_share: float
    antibiotics_before_share: float


@dataclass(frozen=True)
class OutcomeNumbers:
    refractory_share: float
    removal_share_of_refractory: float
    transfer_for_good_share: float
    death_share: float
    relapse_share: float
    recurrent_share: float
    repeat_share: float
    admitted_share: float
    pause_days: Range
    stay_days: Range


@dataclass(frozen=True)
class CatheterInfectionNumbers:
    rate: float
    sites: Shares
    pus_share: float
    organisms: Shares
    shared_with_skin_peritonitis: float


@dataclass(frozen=True)
class ContaminationNumbers:
    rate: float
    wet_share: float
    prophylaxis_share: float


@dataclass(frozen=True)
class InterruptionNumbers:
    pause_rate: float
    reasons: Shares
    days: Range
    other_admission_rate: float


@dataclass(frozen=True)
class Parameters:
    seed: int
    today: date
    opened_on: date
    full_on: date
    time_zone: str
    network: str
    signed_quarter: str
    signed_clinic: str
    clinics: tuple[ClinicNumbers, ...]
    population: Population
    training: TrainingNumbers
    peritonitis: PeritonitisNumbers
    effluent: EffluentNumbers
    outcome: OutcomeNumbers
    catheter_infection: CatheterInfectionNumbers
    contamination: ContaminationNumbers
    interruption: InterruptionNumbers
    organisms: dict[str, Shares]
    susceptibility: dict[str, Shares]
    accounts: dict[str, Any]


_SECTIONS = {
    "population": Population,
    "training": TrainingNumbers,
    "peritonitis": PeritonitisNumbers,
    "effluent": EffluentNumbers,
    "outcome": OutcomeNumbers,
    "catheter_infection": CatheterInfectionNumbers,
    "contamination": ContaminationNumbers,
    "interruption": InterruptionNumbers,
}


def _clinic(numbers: dict[str, Any]) -> ClinicNumbers:
    waiting = tuple(Waiting(**episode) for episode in numbers.pop("waiting", []))
    lapse = numbers.pop("lapse", None)
    return ClinicNumbers(**numbers, waiting=waiting, lapse=Lapse(**lapse) if lapse else None)


def read_parameters(path: Path) -> Parameters:
    """The file's numbers; a missing or unknown name is an error at once, not a default."""
    numbers = tomllib.loads(path.read_text(encoding="utf-8"))
    for section, made in _SECTIONS.items():
        numbers[section] = made(**numbers[section])
    numbers["clinics"] = tuple(_clinic(clinic) for clinic in numbers["clinics"])
    return Parameters(**numbers)
