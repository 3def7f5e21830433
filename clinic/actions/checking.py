"""What a row must agree with before it is stored: its own fields, its patient's other rows."""

from __future__ import annotations

from clinic.actions.refusals import refuse
from clinic.models import Admission, Patient, Peritonitis, RecordRow


def check(row: RecordRow) -> None:
    """Raise Refused with every fault that storing this row would make."""
    if isinstance(row, Admission):
        row.peritonitis = _episode_of(row)
    if has_twin(row):
        raise _name_taken(row)


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
    if isinstance(row, Patient):
        names, standing = ["number"], {}
    elif not names:
        return False
    else:
        standing = {"withdrawn_at": None}
    same = {name: getattr(row, name) for name in (*names, row.parent_field)}
    return type(row).objects.filter(**same, **standing).exclude(pk=row.pk).exists()


def _name_taken(row: RecordRow):
    if isinstance(row, Patient):
        return refuse("number", f"{row.clinic} already has a patient {row.number}.")
    keys = [column.name for column in row.subject.key_columns]
    said = ", ".join(str(getattr(row, name)) for name in keys if getattr(row, name))
    return refuse(keys[0], f"There is already one {row.subject.one} with {said}.")
