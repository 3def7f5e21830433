"""Every warning of the standing record until somebody settles it; derived, never stored."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from uuid import UUID

from clinic.checks import (
    CheckRow,
    Finding,
    Mark,
    check_patient,
    same_person_pairs,
    stored_rows,
)
from clinic.columns import SUBJECTS
from clinic.forms.record_form import plain_words
from clinic.imports.likeness import likenesses
from clinic.models import Clinic, SettledGap
from clinic.reading import cell_warnings

PATIENTS_AT_ONCE = 500
_NUMBERS = ("number", "whole")
Rows = dict[str, list[CheckRow]]


@dataclass(frozen=True)
class Gap:
    """One warning: whose, about which row, in a sentence; its key stays while it says the same."""

    patient: str
    patient_uid: UUID
    about: str
    sentence: str
    subject: str
    row_uid: UUID
    key: str


def open_warnings(clinic: Clinic) -> list[Gap]:
    settled = set(SettledGap.objects.filter(clinic=clinic).values_list("key", flat=True))
    found = [*_of_patients(clinic), *_of_pairs(clinic)]
    return [gap for gap in found if gap.key not in settled]


def _of_patients(clinic: Clinic) -> Iterator[Gap]:
    patients = clinic.patients.filter(withdrawn_at=None).order_by("number")
    known = {pk: (number, uid) for pk, number, uid in patients.values_list("pk", "number", "uid")}
    pks = list(known)
    for start in range(0, len(pks), PATIENTS_AT_ONCE):
        stored = stored_rows(pks[start : start + PATIENTS_AT_ONCE])
        for pk, rows in stored.items():
            for finding in (*_findings(rows, clinic), *_odd_cells(rows)):
                yield _gap(finding, *known[pk])


def _findings(rows: Rows, clinic: Clinic) -> Iterator[Finding]:
    """All rows are looked at as if they had just been written."""
    for row in (row for several in rows.values() for row in several):
        row.changed = True
    yield from (each for each in check_patient(rows, clinic.zone) if not each.fault)


def _odd_cells(rows: Rows) -> Iterator[Finding]:
    """A count or a share far off the usual range, as it was warned of when it was typed."""
    for subject, several in rows.items():
        numbers = [column for column in SUBJECTS[subject] if column.kind in _NUMBERS]
        for row in several:
            for column in numbers:
                value = row[column.name]
                for said in cell_warnings(column, str(value), value) if value is not None else ():
                    sentence = f"{column.ask}: {said.sentence}"
                    yield Finding(said.code, sentence, (Mark(row, column.name),), False)


def _gap(finding: Finding, number: str, uid: UUID) -> Gap:
    first = finding.marks[0]
    marks = sorted(f"{mark.row.where.uid}.{mark.field}" for mark in finding.marks)
    return Gap(
        number, uid, first.row.name, plain_words(finding.sentence), first.row.subject,
        first.row.where.uid, _key(finding.code, *marks, finding.sentence),
    )  # fmt: skip


def _of_pairs(clinic: Clinic) -> Iterator[Gap]:
    uids = dict(clinic.patients.values_list("number", "uid"))
    for first, second in same_person_pairs(likenesses(clinic)):
        said = (
            f"May be the same person as {second.patient}: born on the same day, same sex, spells "
            "that overlap; both count until a person decides"
        )
        uid = uids[first.patient]
        key = _key("same_person", str(uid), str(uids[second.patient]))
        yield Gap(first.patient, uid, f"patient {first.patient}", said, "patients", uid, key)


def _key(*parts: str) -> str:
    return hashlib.sha256("\x1f".join(parts).encode()).hexdigest()
