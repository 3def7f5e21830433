"""One plain function a model: a row with sensible values, any of which a test may set."""

from __future__ import annotations

from datetime import date
from typing import Any

from clinic.models import (
    Admission,
    Catheter,
    CatheterInfection,
    Clinic,
    Contamination,
    EffluentSample,
    Grant,
    Isolate,
    Patient,
    PdPause,
    PdSpell,
    Peritonitis,
    Person,
    Susceptibility,
    Training,
)

PASSWORD = "Teal-Otter-9-Estuary"


def make_clinic(code: str = "TQ", **fields: Any) -> Clinic:
    return Clinic.objects.create(
        **{"code": code, "name": "Tern Quay", "time_zone": "Europe/London"} | fields
    )


def make_person(username: str = "sorrel", **fields: Any) -> Person:
    name = fields.pop("name", username.capitalize())
    person = Person.objects.create_person(username=username, name=name, password=PASSWORD)
    for field, value in fields.items():
        setattr(person, field, value)
    person.save()
    return person


def make_grant(person: Person, role: str, clinic: Clinic | None = None, **fields: Any) -> Grant:
    given: dict[str, Any] = {"first_day": date(2020, 1, 1)}
    if role == "auditor":
        given["last_day"] = date(2026, 3, 31)
    return Grant.objects.create(person=person, role=role, clinic=clinic, **given | fields)


def make_patient(clinic: Clinic, number: str = "P031", **fields: Any) -> Patient:
    given = {"birth_date": date(1961, 5, 14), "sex": "female"} | fields
    return Patient.objects.create(clinic=clinic, number=number, **given)


def make_spell(patient: Patient, **fields: Any) -> PdSpell:
    given = {"started_on": date(2024, 2, 5), "modality": "capd", "assistance": "self"} | fields
    return PdSpell.objects.create(patient=patient, **given)


def make_pause(patient: Patient, **fields: Any) -> PdPause:
    given = {
        "started_on": date(2025, 3, 29),
        "last_day_on": date(2025, 3, 31),
        "reason": "temporary_haemodialysis",
    } | fields
    return PdPause.objects.create(patient=patient, **given)


def make_catheter(patient: Patient, **fields: Any) -> Catheter:
    given = {
        "catheter": "C1",
        "inserted_on": date(2024, 1, 10),
        "insertion_method": "laparoscopic",
    } | fields
    return Catheter.objects.create(patient=patient, **given)


def make_training(patient: Patient, **fields: Any) -> Training:
    given = {"completed_on": date(2024, 2, 9), "kind": "initial", "trainer": "T-01"} | fields
    return Training.objects.create(patient=patient, **given)


def make_peritonitis(patient: Patient, **fields: Any) -> Peritonitis:
    given = {
        "episode": "E1",
        "onset_on": date(2025, 3, 10),
        "cloudy_effluent": "yes",
        "abdominal_pain": "yes",
        "therapy_completed_on": date(2025, 3, 31),
    } | fields
    return Peritonitis.objects.create(patient=patient, **given)


def make_sample(peritonitis: Peritonitis, **fields: Any) -> EffluentSample:
    given = {
        "sample": "S1",
        "dwell_hours": 4.0,
        "leucocytes_per_ul": 2300,
        "neutrophil_percent": 88.0,
        "culture": "grown",
    } | fields
    return EffluentSample.objects.create(peritonitis=peritonitis, **given)


def make_isolate(sample: EffluentSample, **fields: Any) -> Isolate:
    given = {"organism": "Staphylococcus aureus"} | fields
    return Isolate.objects.create(effluent_sample=sample, **given)


def make_susceptibility(isolate: Isolate, **fields: Any) -> Susceptibility:
    given = {"agent": "cefazolin", "result": "S"} | fields
    return Susceptibility.objects.create(isolate=isolate, **given)


def make_catheter_infection(patient: Patient, **fields: Any) -> CatheterInfection:
    given = {
        "infection": "X1",
        "site": "exit_site",
        "onset_on": date(2025, 6, 5),
        "purulent_discharge": "yes",
    } | fields
    return CatheterInfection.objects.create(patient=patient, **given)


def make_admission(patient: Patient, **fields: Any) -> Admission:
    return Admission.objects.create(patient=patient, **{"admitted_on": date(2025, 3, 10)} | fields)


def make_contamination(patient: Patient, **fields: Any) -> Contamination:
    return Contamination.objects.create(patient=patient, **{"kind": "wet"} | fields)
