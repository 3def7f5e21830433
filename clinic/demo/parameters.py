"""The demonstration's numbers: fixtures/demo/parameters.toml as frozen dataclasses."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

from clinic.demo.story_parameters import Lapse, Sampling, Scripted, WaterBath

Shares = dict[str, float]
Range = tuple[int, int]  # both ends may be drawn


@dataclass(frozen=True)
class Trainer:
    code: str
    first_day: date | None = None
    last_day: date | None = None

    def works(self, day: date) -> bool:
        begun = self.first_day is None or self.first_day <= day
        return begun and (self.last_day is None or day <= self.last_day)


@dataclass(frozen=True)
class ClinicNumbers:
    code: str
    name: str
    stream: int  # of chance, under the seed: a clinic can be drawn again and the others stay
    patients_when_full: int
    apd_share: float
    trainers: tuple[Trainer, ...]
    scripted: tuple[Scripted, ...] = ()
    lapse: Lapse | None = None
    water_bath: WaterBath | None = None
    sampling: Sampling | None = None


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
    initial_days: Range
    initial_hours: Range
    first_scheduled_days: int
    then_every_days: int
    spread_days: int
    missed_share: float
    triggered_share: float
    triggered_within_days: int
    competent_share: float
    observed_share: float  # of reassessments; every initial training is observed
    home_visit_share: float
    places: Shares
    languages: Shares


@dataclass(frozen=True)
class PeritonitisNumbers:
    rate: Shares  # per patient-year by modality
    helped_factor: float
    frailty_variance: float
    clinic_spread_log: float
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
    neutrophil_beta: tuple[float, float]
    day_3_per_ul: Shares  # median by course: cured, refractory
    day_5_per_ul: Shares
    bottles_share: float
    hours_to_laboratory: Range
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
class TherapyNumbers:
    empirical: tuple[tuple[str, ...], ...]  # what is begun with, one of these
    targeted: dict[str, str]  # by organism, once it has its name
    targeted_after_days: int


@dataclass(frozen=True)
class CallNumbers:
    called_share: float  # of the episodes that the clinic itself found
    red_flag_share: float  # of each red flag
    happened: Shares


@dataclass(frozen=True)
class ReviewNumbers:
    reviewed_share: float
    within_days: Range
    due_days: Range
    closed_share: float
    routes: dict[str, Shares]  # by cause
    actions: dict[str, str]  # by route
    factors: Shares


@dataclass(frozen=True)
class VisitNumbers:
    every_days: Range
    again_days: Range  # after a finding
    finding_share: float


@dataclass(frozen=True)
class EntryNumbers:
    """How long after a day its facts are entered."""

    soon_mean_days: float
    later_share: float
    later_days: Range
    late_share: float
    late_days: Range


@dataclass(frozen=True)
class InterruptionNumbers:
    pause_rate: float
    reasons: Shares
    days: Range
    other_admission_rate: float


@dataclass(frozen=True)
class Signed:
    """A quarter that its clinic froze: prepared by one person and, mostly, signed by another."""

    clinic: str
    quarter: str
    prepared_on: date
    prepared_by: str
    signed_on: date | None = None
    signed_by: str = ""


@dataclass(frozen=True)
class Decided:
    """What a clinic's director decided; the marker stands on the charts of the measure."""

    clinic: str
    decided_on: date
    decided_by: str
    decision: str
    measure: str
    marker: str
    review_on: date


@dataclass(frozen=True)
class Parameters:
    seed: int
    today: date
    opened_on: date
    full_on: date
    time_zone: str
    network: str
    signed: tuple[Signed, ...]
    decisions: tuple[Decided, ...]
    clinics: tuple[ClinicNumbers, ...]
    population: Population
    training: TrainingNumbers
    peritonitis: PeritonitisNumbers
    effluent: EffluentNumbers
    outcome: OutcomeNumbers
    catheter_infection: CatheterInfectionNumbers
    contamination: ContaminationNumbers
    interruption: InterruptionNumbers
    therapy: TherapyNumbers
    call: CallNumbers
    review: ReviewNumbers
    visit: VisitNumbers
    entry: EntryNumbers
    organisms: dict[str, Shares]
    susceptibility: dict[str, Shares]
    names: dict[str, list[str]]  # of the clinics that a larger demonstration adds
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
    "therapy": TherapyNumbers,
    "call": CallNumbers,
    "review": ReviewNumbers,
    "visit": VisitNumbers,
    "entry": EntryNumbers,
}


_STORIES = {"lapse": Lapse, "water_bath": WaterBath, "sampling": Sampling}


def _clinic(numbers: dict[str, Any]) -> ClinicNumbers:
    for story, made in _STORIES.items():
        if story in numbers:
            numbers[story] = made(**numbers[story])
    numbers["trainers"] = tuple(Trainer(**trainer) for trainer in numbers["trainers"])
    numbers["scripted"] = tuple(Scripted(**one) for one in numbers.get("scripted", []))
    return ClinicNumbers(**numbers)


def read_parameters(path: Path) -> Parameters:
    """The file's numbers; a missing or unknown name is an error at once, not a default."""
    numbers = tomllib.loads(path.read_text(encoding="utf-8"))
    for section, made in _SECTIONS.items():
        numbers[section] = made(**numbers[section])
    numbers["clinics"] = tuple(_clinic(clinic) for clinic in numbers["clinics"])
    numbers["signed"] = tuple(Signed(**one) for one in numbers["signed"])
    numbers["decisions"] = tuple(Decided(**one) for one in numbers["decisions"])
    return Parameters(**numbers)


def without_stories(numbers: Parameters) -> Parameters:
    """The same clinics with nothing wrong in them: no lapse, no water bath, nothing scripted."""
    plain = [
        replace(clinic, lapse=None, water_bath=None, sampling=None, scripted=())
        for clinic in numbers.clinics
    ]
    return replace(numbers, clinics=tuple(plain), signed=(), decisions=())
