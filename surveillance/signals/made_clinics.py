"""Made-up clinics of a steady or a changed rate, as records: for calibration only."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from surveillance.signals.phases import Floats
from surveillance.tables import NO, NO_DAY, NO_MOMENT, UNKNOWN, YES, Record, record_of
from surveillance.time_at_risk.stretches import Ints

# Share of episodes by what grew; the rest grew nothing. Invented, near published shares.
SHARES = {
    "Staphylococcus epidermidis": 0.24,
    "Staphylococcus aureus": 0.14,
    "Streptococcus mitis": 0.09,
    "Corynebacterium striatum": 0.03,
    "Enterococcus faecalis": 0.05,
    "Escherichia coli": 0.10,
    "Klebsiella pneumoniae": 0.11,
    "Pseudomonas aeruginosa": 0.04,
    "Acinetobacter baumannii": 0.02,
    "Stenotrophomonas maltophilia": 0.01,
    "Candida albicans": 0.03,
}
NO_GROWTH = ""


@dataclass(frozen=True)
class Plan:
    """What is made: clinics of one size, and when their rate changes by how much."""

    clinics: int
    patients: int
    first_day: int  # since 1970-01-01
    stop_day: int
    rate: float  # per patient-year
    change_day: int
    ratio: float = 1.0


def made_clinics(plan: Plan, seed: int) -> Record:
    """Everybody is at risk all the time; episodes are Poisson, of patients in turn.

    In turn, so that no episode becomes the relapse of another and the rate is the one asked for.
    Source: own. Test: tests/surveillance/signals/test_made_clinics.py.
    """
    draw = np.random.default_rng([seed, plan.patients, int(plan.ratio * 10)])
    clinic, onset = _onsets(plan, draw)
    order = np.lexsort((onset, clinic))
    clinic, onset = clinic[order], onset[order]
    turn = np.arange(len(clinic)) - np.searchsorted(clinic, clinic)
    patient = clinic * plan.patients + turn % plan.patients
    grown = draw.choice(
        [*SHARES, NO_GROWTH], len(clinic), p=[*SHARES.values(), 1 - sum(SHARES.values())]
    )
    return record_of(_tables(plan, patient, onset, grown))


def _onsets(plan: Plan, draw: np.random.Generator) -> tuple[Ints, Ints]:
    days = np.arange(plan.first_day, plan.stop_day)
    mean: Floats = np.where(days >= plan.change_day, plan.ratio, 1.0) * plan.rate
    counts = draw.poisson(mean * plan.patients / 365.25, (plan.clinics, len(days)))
    cell = np.repeat(np.arange(counts.size), counts.ravel())
    return cell // len(days), days[cell % len(days)]


def _tables(plan: Plan, patient: Ints, onset: Ints, grown: Ints) -> dict[str, dict[str, object]]:
    everyone, episodes = plan.clinics * plan.patients, len(onset)
    clinics = np.arange(plan.clinics)
    none = np.full(episodes, NO_DAY)
    named = np.flatnonzero(grown != NO_GROWTH)
    return {
        "clinics": {"clinic": [f"C{number:04}" for number in clinics]},
        "patients": {
            "clinic": np.repeat(clinics, plan.patients),
            "patient": [f"P{number:05}" for number in range(everyone)],
            "died_on": np.full(everyone, NO_DAY),
        },
        "pd_spells": {
            "patient": np.arange(everyone),
            "started_on": np.full(everyone, plan.first_day),
            "last_day_on": np.full(everyone, NO_DAY),
            "modality": ["capd"] * everyone,
            "assistance": ["self"] * everyone,
            "end_reason": [""] * everyone,
        },
        "peritonitis": {
            "patient": patient,
            "episode": [f"E{number:06}" for number in range(episodes)],
            "onset_on": onset,
            "presented_on": none,
            "cloudy_effluent": np.full(episodes, YES),
            "abdominal_pain": np.full(episodes, NO),
            "first_antibiotic_on": none,
            "appropriate_antibiotic_on": none,
            "therapy_completed_on": onset,
            "judged_refractory": np.full(episodes, UNKNOWN),
            "resolved": np.full(episodes, UNKNOWN),
        },
        "effluent_samples": {
            "episode": np.arange(episodes),
            "sample": ["S1"] * episodes,
            "collected_at": np.full(episodes, NO_MOMENT),
            "collected_on": onset,
            "dwell_hours": np.full(episodes, 4.0),
            "leucocytes_per_ul": np.full(episodes, 500.0),
            "neutrophil_percent": np.full(episodes, 80.0),
            "appearance": [""] * episodes,
            "culture": np.where(grown == NO_GROWTH, "no_growth", "grown"),
        },
        "isolates": {"sample": named, "organism": grown[named]},
    }
