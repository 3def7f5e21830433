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
LEAVE_PER_YEAR = 0.36


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
    frailty_variance: float = 0.0  # above 0: patients differ, and come and go


@dataclass(frozen=True)
class _People:
    """Sorted by clinic; each at risk from a day up to, but without, another."""

    clinic: Ints
    start: Ints
    stop: Ints


def made_clinics(plan: Plan, seed: int) -> Record:
    """Alike: everybody is at risk all the time and episodes are Poisson, of patients in turn, so
    that none is the relapse of another. Frail: each place is taken by one patient after another,
    whose own rate is a gamma share of the clinic's.

    Source: own. Test: tests/surveillance/signals/test_made_clinics.py.
    """
    draw = np.random.default_rng([seed, plan.patients, int(plan.ratio * 10)])
    people, patient, onset = (_frail if plan.frailty_variance else _alike)(plan, draw)
    grown = draw.choice(
        [*SHARES, NO_GROWTH], len(onset), p=[*SHARES.values(), 1 - sum(SHARES.values())]
    )
    return record_of(_tables(plan.clinics, people, patient, onset, grown))


def _alike(plan: Plan, draw: np.random.Generator) -> tuple[_People, Ints, Ints]:
    clinic, onset = _onsets(plan, draw)
    order = np.lexsort((onset, clinic))
    clinic, onset = clinic[order], onset[order]
    turn = np.arange(len(clinic)) - np.searchsorted(clinic, clinic)
    everyone = np.repeat(np.arange(plan.clinics), plan.patients)
    size = len(everyone)
    people = _People(everyone, np.full(size, plan.first_day), np.full(size, plan.stop_day))
    return people, clinic * plan.patients + turn % plan.patients, onset


def _frail(plan: Plan, draw: np.random.Generator) -> tuple[_People, Ints, Ints]:
    """Stays of the mean length that workflows.md 5 gives (0.36 leave a year)."""
    span = plan.stop_day - plan.first_day
    most = 5 + round(4 * span * LEAVE_PER_YEAR / 365.25)  # stays that one place can see
    length = 1 + draw.exponential(365.25 / LEAVE_PER_YEAR, (plan.clinics * plan.patients, most))
    stop = np.minimum(np.cumsum(length.astype(np.int64), axis=1), span)
    start = np.pad(stop, ((0, 0), (1, 0)))[:, :-1]
    place, stay = np.nonzero(start < stop)
    at = (place, stay)
    people = _People(place // plan.patients, start[at] + plan.first_day, stop[at] + plan.first_day)
    shape = 1 / plan.frailty_variance
    rate = plan.rate / 365.25 * draw.gamma(shape, 1 / shape, len(place))
    edges = np.clip(plan.change_day, people.start, people.stop)
    before = draw.poisson(rate * (edges - people.start))
    after = draw.poisson(rate * plan.ratio * (people.stop - edges))
    patient = np.concatenate([np.repeat(np.arange(len(place)), one) for one in (before, after)])
    low = np.concatenate([np.repeat(people.start, before), np.repeat(edges, after)])
    high = np.concatenate([np.repeat(edges, before), np.repeat(people.stop, after)])
    return people, patient, draw.integers(low, high)


def _onsets(plan: Plan, draw: np.random.Generator) -> tuple[Ints, Ints]:
    days = np.arange(plan.first_day, plan.stop_day)
    mean: Floats = np.where(days >= plan.change_day, plan.ratio, 1.0) * plan.rate
    counts = draw.poisson(mean * plan.patients / 365.25, (plan.clinics, len(days)))
    cell = np.repeat(np.arange(counts.size), counts.ravel())
    return cell // len(days), days[cell % len(days)]


def _tables(
    clinics: int, people: _People, patient: Ints, onset: Ints, grown: Ints
) -> dict[str, dict[str, object]]:
    everyone, episodes = len(people.clinic), len(onset)
    none = np.full(episodes, NO_DAY)
    named = np.flatnonzero(grown != NO_GROWTH)
    return {
        "clinics": {"clinic": [f"C{number:04}" for number in range(clinics)]},
        "patients": {
            "clinic": people.clinic,
            "patient": [f"P{number:06}" for number in range(everyone)],
            "died_on": np.full(everyone, NO_DAY),
        },
        "pd_spells": {
            "patient": np.arange(everyone),
            "started_on": people.start,
            "last_day_on": people.stop - 1,
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
