"""What rows must agree with before they are stored: keys, and the patient's other rows."""

from __future__ import annotations

from collections.abc import Sequence
from functools import reduce
from typing import Any

from clinic.actions.refusals import Fault, Refused, refuse
from clinic.checks import CheckRow, Finding, check_patient, stored_rows
from clinic.checks.stored_rows import cell_lookups
from clinic.lineage import clinic_of, patient_of
from clinic.models import Admission, Patient, Peritonitis, RecordRow


def check(rows: Sequence[RecordRow]) -> list[str]:
    """Raise Refused with every fault that storing these rows would make; return the warnings."""
    for row in rows:
        if isinstance(row, Admission):
            row.peritonitis = _episode_of(row)
        if has_twin(row):
            raise _name_taken(row)
    findings = check_patient(_patients_rows(rows), clinic_of(rows[0]).zone)
    faults = [_fault(finding) for finding in findings if finding.fault]
    if faults:
        raise Refused(*faults)
    return [finding.sentence for finding in findings]


def _patients_rows(rows: Sequence[RecordRow]) -> dict[str, list[CheckRow]]:
    """All standing rows of the patient, with these in the place of what is stored of them."""
    patient = patient_of(rows[0])
    found = stored_rows([patient.pk])[patient.pk] if patient.pk else {}
    written = {row.uid for row in rows}
    found = {
        subject: [each for each in standing if each.where.uid not in written]
        for subject, standing in found.items()
    }
    for row in rows:
        found.setdefault(row.subject.name, []).append(_check_row(row))
    return found


def _check_row(row: RecordRow) -> CheckRow:
    lookups = cell_lookups(type(row))
    values = {name: _follow(row, lookup) for name, lookup in lookups.items()}
    return CheckRow(row.subject.name, values, row)


def _follow(row: RecordRow, lookup: str) -> Any:
    return reduce(getattr, lookup.split("__"), row)


def _fault(finding: Finding) -> Fault:
    """The fault stands at the field that is being written, if it is one of those at fault."""
    mark = next(mark for mark in finding.marks if mark.row.changed)
    return Fault(mark.field, finding.sentence, mark.row.subject)


def _episode_of(row: Admission) -> Peritonitis | None:
    """The admission's episode cell leads to an episode of the same patient, or to none."""
    if not row.episode:
        return None
    found = Peritonitis.objects.filter(
        patient=row.patient, episode=row.episode, withdrawn_at=None
    ).first()
    if found is None:
        raise refuse("episode", f"No episode {row.episode} of this patient.")
    return found


def has_twin(row: RecordRow) -> bool:
    """Whether another standing row of the same parent has the same key."""
    names = [column.name for column in row.subject.key_columns]
    if row.parent.pk is None:
        return False
    if isinstance(row, Patient):
        names, standing = ["number"], {}
    elif not names:
        return False
    else:
        standing = {"withdrawn_at": None}
    same = {name: getattr(row, name) for name in (*names, row.parent_field)}
    return type(row).objects.filter(**same, **standing).exclude(pk=row.pk).exists()


def _name_taken(row: RecordRow) -> Refused:
    if isinstance(row, Patient):
        return refuse("number", f"{row.clinic} already has a patient {row.number}.")
    return refuse(row.subject.key_columns[0].name, f"There is already one {_check_row(row).name}.")
