"""A small clinic with everything a report must tell apart, computed and frozen for page tests."""

from __future__ import annotations

from datetime import date

from clinic.actions.audit import SCHEDULE, write_event
from clinic.models import Clinic, Patient, PdSpell, Person
from surveillance.models import Snapshot
from surveillance.snapshots import compute_draft, prepare_quarter, sign_quarter
from tests.factories import (
    make_catheter,
    make_catheter_infection,
    make_isolate,
    make_patient,
    make_peritonitis,
    make_sample,
    make_spell,
    make_training,
)

QUARTER, YEAR = "2025-Q1", "2025-Q1/4q"
NUMBERS = tuple(f"TQ-{index:03d}" for index in range(1, 13))


def fill(clinic: Clinic) -> None:
    """Twelve patients on PD since 2023; in the rolling year one of each kind of episode."""
    patients = [make_patient(clinic, number) for number in NUMBERS]
    for index, patient in enumerate(patients):
        make_spell(patient, started_on=date(2023, 2, 1 + index))
        make_catheter(patient, inserted_on=date(2023, 1, 1 + index))
        make_training(patient, completed_on=date(2023, 2, 1 + index), trainer=f"T-0{index % 3}")
    _counted_and_its_relapse(patients[0])
    grown(patients[1], date(2024, 3, 3), "Escherichia coli", episode="E-long-ago")
    _culture_negative(patients[1])
    make_peritonitis(patients[2], episode="=E3", cloudy_effluent="no", abdominal_pain="no")
    make_catheter_infection(patients[3], onset_on=date(2025, 1, 9))


def grown(patient: Patient, onset: date, organism: str, **fields: object) -> None:
    ended = date.fromordinal(onset.toordinal() + 20)
    episode = make_peritonitis(patient, onset_on=onset, therapy_completed_on=ended, **fields)
    make_isolate(make_sample(episode), organism=organism)


def _counted_and_its_relapse(patient: Patient) -> None:
    grown(patient, date(2025, 1, 6), "Staphylococcus aureus", episode="E1")
    grown(patient, date(2025, 2, 10), "Staphylococcus aureus", episode="E2")


def _culture_negative(patient: Patient) -> None:
    episode = make_peritonitis(patient, episode="E5", onset_on=date(2024, 11, 11))
    make_sample(episode, culture="no_growth")


def end_a_spell(clinic: Clinic) -> None:
    """A late entry that changes the days at risk of the quarter, with its event."""
    spells = PdSpell.objects.filter(patient__clinic=clinic, patient__number=NUMBERS[5])
    spells.update(last_day_on=date(2025, 2, 1))
    write_event(clinic=clinic, by=SCHEDULE, verb="amend", thing="pd_spells")


def draft_of(clinic: Clinic, as_of: date = date(2026, 1, 20)) -> Snapshot:
    return compute_draft(clinic=clinic, rule_set="rule_2022", as_of=as_of)


def signed_by(clinic: Clinic, preparer: Person, signer: Person, quarter: str = QUARTER) -> Snapshot:
    prepared = prepare_quarter(clinic=clinic, quarter=quarter, by=preparer)
    return sign_quarter(snapshot=prepared, by=signer, digest=prepared.digest)
