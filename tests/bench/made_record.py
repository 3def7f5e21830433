"""A made-up record of any size as plain columns, for timing: no clinic looks like it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd

from surveillance.tables import NO_DAY, NO_LINK, Record, record_of

FIRST_DAY = int(np.datetime64("2015-01-01").astype("datetime64[D]").astype(int))
YEARS = 10
LAST_DAY = FIRST_DAY + round(YEARS * 365.25) - 1  # 31 December 2024
MEAN_STAY_YEARS = 3.3
EPISODES_PER_YEAR, INFECTIONS_PER_YEAR, PAUSES_PER_YEAR = 0.35, 0.25, 0.05
TRAINED_AFTER_DAYS, TRAINED_EVERY_DAYS = 90, 200
ORGANISMS = (
    "Staphylococcus epidermidis", "Staphylococcus aureus", "Escherichia coli", "CoNS",
    "Klebsiella pneumoniae", "Pseudomonas aeruginosa", "Enterococcus faecalis", "Candida albicans",
)  # fmt: skip

Columns = dict[str, Any]
Days = np.ndarray[Any, np.dtype[np.int64]]


@dataclass(frozen=True)
class Stays:
    """One spell a patient: which clinic, from when to when (LAST_DAY = still going on)."""

    clinic: Days
    started_on: Days
    last_day_on: Days

    @property
    def years(self) -> Any:
        return (self.last_day_on - self.started_on + 1) / 365.25


def _stays(rng: np.random.Generator, patients: int, clinics: int) -> Stays:
    clinic = np.sort(np.arange(patients) % clinics)
    share_at_start = 1 / (1 + YEARS / MEAN_STAY_YEARS)
    late = rng.integers(0, LAST_DAY - FIRST_DAY - 30, patients)
    started_on = FIRST_DAY + np.where(rng.random(patients) < share_at_start, 0, late)
    length = rng.exponential(MEAN_STAY_YEARS * 365.25, patients).astype(int) + 20
    return Stays(clinic, started_on, np.minimum(started_on + length, LAST_DAY))


def _events(rng: np.random.Generator, stays: Stays, per_year: float) -> tuple[Days, Days]:
    """(patient, day) of events at a rate that differs between patients, sorted by both."""
    frailty = rng.gamma(1.25, 0.8, len(stays.clinic))
    number = rng.poisson(per_year * stays.years * frailty)
    patient = np.repeat(np.arange(len(number)), number)
    length = (stays.last_day_on - stays.started_on)[patient]
    day = stays.started_on[patient] + (rng.random(len(patient)) * length).astype(int)
    order = np.lexsort((day, patient))
    return patient[order], day[order]


def _numbered(letter: str, parent: Days) -> list[str]:
    """A name for each row, counted within its parent (rows are sorted by parent)."""
    first = np.searchsorted(parent, parent)
    return [f"{letter}{number}" for number in np.arange(len(parent)) - first + 1]


def _yes(rng: np.random.Generator, size: int, share: float) -> Any:
    return (rng.random(size) < share).astype(np.int8)


def _words(code: Any, names: tuple[str, ...]) -> pd.Categorical:
    """The name of each code; an empty name is a missing cell."""
    known = [name for name in dict.fromkeys(names) if name]
    place = np.array([known.index(name) if name else -1 for name in names])
    return pd.Categorical.from_codes(place[code], categories=pd.Index(known, dtype=object))


def _chosen(rng: np.random.Generator, names: tuple[str, ...], size: int) -> pd.Categorical:
    return _words(rng.integers(0, len(names), size), names)


def _trainings(rng: np.random.Generator, stays: Stays) -> Columns:
    length = stays.last_day_on - stays.started_on
    more = np.maximum(0, (length - TRAINED_AFTER_DAYS) // TRAINED_EVERY_DAYS + 1)
    patient = np.repeat(np.arange(len(more)), more + 1)
    at = np.arange(len(patient)) - np.searchsorted(patient, patient)
    day = np.where(at == 0, 6, TRAINED_AFTER_DAYS + (at - 1) * TRAINED_EVERY_DAYS)
    completed_on = stays.started_on[patient] + day
    return {
        "patient": patient,
        "started_on": completed_on,
        "completed_on": completed_on,
        "kind": _words((at > 0).astype(int), ("initial", "scheduled")),
        "trainer": _chosen(rng, ("T-01", "T-02", "T-03", "T-04"), len(patient)),
    }


def _peritonitis(rng: np.random.Generator, patient: Days, onset_on: Days) -> Columns:
    size = len(patient)
    return {
        "patient": patient,
        "episode": _numbered("E", patient),
        "onset_on": onset_on,
        "presented_on": onset_on,
        "cloudy_effluent": _yes(rng, size, 0.95),
        "abdominal_pain": _yes(rng, size, 0.8),
        "first_antibiotic_on": onset_on,
        "appropriate_antibiotic_on": onset_on + rng.integers(0, 3, size),
        "therapy_completed_on": onset_on + rng.integers(14, 22, size),
        "judged_refractory": np.full(size, -1, np.int8),
        "resolved": _yes(rng, size, 0.8),
    }


def _samples(rng: np.random.Generator, onset_on: Days) -> Columns:
    """Two samples an episode: at presentation and on day 5."""
    episode = np.repeat(np.arange(len(onset_on)), 2)
    later = np.arange(len(episode)) % 2
    collected_on = onset_on[episode] + 5 * later
    size = len(episode)
    cells = np.exp(np.where(later, 3.5, 7.5) + rng.normal(size=size)).astype(int)
    grown = (rng.random(size) >= 0.85).astype(int)
    return {
        "episode": episode,
        "sample": _numbered("S", episode),
        "collected_at": collected_on * 86_400 + 36_000,
        "collected_on": collected_on,
        "dwell_hours": rng.integers(2, 9, size),
        "leucocytes_per_ul": np.minimum(cells, 400_000),
        "neutrophil_percent": rng.integers(55, 98, size),
        "appearance": _words((cells <= 100).astype(int), ("cloudy", "clear")),
        "culture": _words(np.where(later, 2, grown), ("grown", "no_growth", "not_taken")),
    }


def made_tables(patients: int, clinics: int, seed: int = 1) -> dict[str, Columns]:
    """Ten years of `patients` spread evenly over `clinics`, as columns of a Record."""
    rng = np.random.default_rng(seed)
    stays = _stays(rng, patients, clinics)
    everyone = np.arange(patients)
    open_end = np.where(stays.last_day_on >= LAST_DAY, NO_DAY, stays.last_day_on)
    # Long enough after the last day on PD that nothing recorded here is later than a death.
    died = (open_end != NO_DAY) & (open_end + 90 <= LAST_DAY) & (rng.random(patients) < 0.3)
    paused, paused_on = _events(rng, stays, PAUSES_PER_YEAR)
    ill, onset_on = _events(rng, stays, EPISODES_PER_YEAR)
    infected, infected_on = _events(rng, stays, INFECTIONS_PER_YEAR)
    samples = _samples(rng, onset_on)
    grown = np.flatnonzero(samples["culture"] == "grown")
    first_of_day = np.r_[True, (np.diff(ill) != 0) | (np.diff(onset_on) != 0)]
    admitted = np.flatnonzero((rng.random(len(ill)) < 0.5) & first_of_day)
    return {
        "clinics": {"clinic": [f"C{number:04d}" for number in range(clinics)]},
        "patients": {
            "clinic": stays.clinic,
            "patient": [f"P{number:07d}" for number in everyone],
            "died_on": np.where(died, open_end + 90, NO_DAY),
        },
        "pd_spells": {
            "patient": everyone,
            "started_on": stays.started_on,
            "last_day_on": open_end,
            "modality": _chosen(rng, ("capd", "apd"), patients),
            "assistance": _chosen(rng, ("self", "family", "nurse"), patients),
            "end_reason": _words((open_end == NO_DAY).astype(int), ("haemodialysis", "")),
        },
        "pd_pauses": {
            "patient": paused,
            "started_on": paused_on,
            "last_day_on": paused_on + rng.integers(7, 40, len(paused)),
            "reason": _chosen(rng, ("temporary_haemodialysis", "travel"), len(paused)),
        },
        "catheters": _catheters(rng, stays, everyone),
        "trainings": _trainings(rng, stays),
        "peritonitis": _peritonitis(rng, ill, onset_on),
        "effluent_samples": samples,
        "isolates": {"sample": grown, "organism": _chosen(rng, ORGANISMS, len(grown))},
        "catheter_infections": _infections(rng, infected, infected_on),
        "admissions": {
            "patient": ill[admitted],
            "admitted_on": onset_on[admitted],
            "discharged_on": onset_on[admitted] + 6,
            "episode": admitted,
        },
    }


def _catheters(rng: np.random.Generator, stays: Stays, everyone: Days) -> Columns:
    return {
        "patient": everyone,
        "catheter": ["C1"] * len(everyone),
        "inserted_on": stays.started_on - 20,
        "insertion_method": _chosen(rng, ("open", "laparoscopic", "percutaneous"), len(everyone)),
        "removed_on": np.full(len(everyone), NO_DAY),
        "removal_reason": _words(np.zeros(len(everyone), dtype=int), ("",)),
    }


def _infections(rng: np.random.Generator, patient: Days, onset_on: Days) -> Columns:
    size = len(patient)
    return {
        "patient": patient,
        "infection": _numbered("X", patient),
        "site": _chosen(rng, ("exit_site", "exit_site", "tunnel", "both"), size),
        "onset_on": onset_on,
        "purulent_discharge": _yes(rng, size, 0.85),
        "tunnel_inflammation": _yes(rng, size, 0.5),
        "tunnel_collection": np.full(size, -1, np.int8),
        "therapy_completed_on": onset_on + 14,
        "organism": _chosen(rng, (*ORGANISMS, "no_growth", ""), size),
        "refractory": np.full(size, NO_LINK, np.int8),
    }


def made_record(patients: int, clinics: int, seed: int = 1) -> Record:
    return record_of(made_tables(patients, clinics, seed))
