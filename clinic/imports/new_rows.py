"""Writes the new rows of some patients, parents before children, many at a time."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain
from typing import Any
from uuid import UUID, uuid4

from clinic.checks import CheckRow
from clinic.columns import SUBJECTS, Subject
from clinic.imports import bulk
from clinic.imports.events import Events
from clinic.imports.merge import Key, Merged, own_key, parent_key
from clinic.models import MODELS, Clinic

# What every new row starts with; `recorded_at` is the database's own clock.
_START = {"version": 1, "hand_columns": "[]", "withdrawn_reason": ""}


class Links:
    """Primary keys of the rows that others hang on, stored ones and those being written."""

    def __init__(self, clinic: int, stored: dict[str, dict[str, list[CheckRow]]]) -> None:
        self.clinic = clinic
        self._pk: dict[tuple[str, str, Key], int] = {}
        self._uid: dict[str, UUID] = {}
        for patient, subjects in stored.items():
            for row in chain.from_iterable(subjects.values()):
                if row.where.withdrawn_at is None:
                    self.note(patient, row, row.where.pk, row.where.uid)

    def note(self, patient: str, row: CheckRow, pk: int, uid: UUID) -> None:
        if row.subject == "patients":
            self._uid[patient] = uid
        if row.subject in _PARENTS:
            self._pk[row.subject, patient, own_key(SUBJECTS[row.subject], row)] = pk

    def parent(self, patient: str, subject: Subject, row: CheckRow) -> int:
        if subject.parent == "clinics":
            return self.clinic
        return self._pk[subject.parent, patient, parent_key(subject, row)]

    def beside(self, patient: str, row: CheckRow) -> dict[str, int | None]:
        """An admission leads to the episode it names."""
        if row.subject != "admissions":
            return {}
        return {"peritonitis_id": self._pk.get(("peritonitis", patient, (row["episode"],)))}

    def patient_uid(self, patient: str) -> UUID:
        return self._uid[patient]


_PARENTS = frozenset(subject.parent for subject in SUBJECTS.values())


def insert_new(clinic: Clinic, patients: list[Merged], links: Links, events: Events) -> None:
    for name, subject in SUBJECTS.items():
        new = [(merged.patient, row) for merged in patients for row in merged.new.get(name, ())]
        if new:
            _insert(subject, new, links)
            events.add(clinic, name, len(new))


def _insert(subject: Subject, new: list[tuple[str, CheckRow]], links: Links) -> None:
    model = MODELS[subject.name]
    fields = ["id", "uid", f"{model.parent_field}_id", *_START]
    own = [column.name for column in subject]
    beside = ["peritonitis_id"] if subject.name == "admissions" else []
    number = ["number"] if subject.name == "patients" else []
    ids = bulk.next_ids(model, len(new))
    rows = _rows(subject, new, ids, own, links)
    bulk.insert(model, [*fields, *own, *beside, *number], rows)


def _rows(
    subject: Subject,
    new: list[tuple[str, CheckRow]],
    ids: list[int],
    own: list[str],
    links: Links,
) -> Iterator[list[Any]]:
    start, is_patient = tuple(_START.values()), subject.name == "patients"
    for pk, (patient, row) in zip(ids, new, strict=True):
        uid = uuid4()
        links.note(patient, row, pk, uid)
        written = [pk, uid, links.parent(patient, subject, row), *start]
        written += [row.values[name] for name in own]
        written += links.beside(patient, row).values()
        if is_patient:
            written.append(patient)
        yield written
