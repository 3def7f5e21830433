"""Two clinics with a row of every subject in each, and one person of every role at the first."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from types import SimpleNamespace
from typing import Any

from django.contrib.auth.models import AnonymousUser

from clinic.capabilities import ANONYMOUS, ROLES
from clinic.models import MODELS, Clinic, Patient, Person, RecordRow
from tests.factories import make_clinic, make_grant, make_person

QUARTER = "2025-Q1"
NETWORK = "Estuary & Fells"
# One value that every column of the kind takes.
_VALUES = {
    "text": "X1",
    "organism": "Staphylococcus aureus",
    "day": date(2025, 3, 10),
    "moment": datetime(2025, 3, 10, 9, 40, tzinfo=UTC),
    "number": 4.0,
    "whole": 4,
}


@dataclass
class World:
    """What a cell of the table is tried on."""

    here: Clinic
    there: Clinic
    people: dict[str, Any]
    rows: dict[str, dict[str, RecordRow]] = field(default_factory=dict)  # by clinic code, subject

    def signed(self, clinic: Clinic) -> SimpleNamespace:
        return SimpleNamespace(clinic=clinic, through=QUARTER, state="signed")


def make_world() -> World:
    here = make_clinic("TQ", name="Tern Quay", network=NETWORK)
    there = make_clinic("SM", name="Saltmere", network="Another")
    people = {role: _person(role, here) for role in ROLES}
    world = World(here, there, people | {ANONYMOUS: AnonymousUser()})
    for clinic in (here, there):
        world.rows[clinic.code] = _rows(clinic)
    return world


def _person(role: str, clinic: Clinic) -> Person:
    person = make_person(role)
    if role in ("administrator", "researcher"):
        make_grant(person, role)
    elif role == "network_officer":
        make_grant(person, role, network=NETWORK)
    else:
        make_grant(person, role, clinic, quarters=[QUARTER] if role == "auditor" else [])
    return person


def _rows(clinic: Clinic) -> dict[str, RecordRow]:
    """A row of every subject; a patient who can be withdrawn has nothing else."""
    rows: dict[str, RecordRow] = {"clinics": clinic}
    for name, model in MODELS.items():
        if name != "clinics":
            rows[name] = _row(model, rows[model.subject.parent])
    return rows


def _row(model: type[RecordRow], parent: RecordRow) -> RecordRow:
    values = {
        column.name: column.choices[0] if column.choices else _VALUES[column.kind]
        for column in model.subject
        if column.required
    }
    named = {"number": "P1"} if model is Patient else {}
    return model.objects.create(**{model.parent_field: parent}, **values, **named)
