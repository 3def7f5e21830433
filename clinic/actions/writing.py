"""How every row of the record is written: recorded, amended, withdrawn, always with its event."""

from __future__ import annotations

import uuid
from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any, TypeVar

from django.db import transaction
from django.utils import timezone

from clinic.actions.audit import Actor, actor_of, write_event
from clinic.actions.checking import check
from clinic.actions.refusals import Conflict, refuse
from clinic.actions.rights import (
    RIGHTS,
    asks_reason,
    fields_open_to,
    require_own_and_recent,
    require_reason,
    require_right,
)
from clinic.lineage import clinic_of, patient_of
from clinic.models import MODELS, Patient, Person, RecordRow

Row = TypeVar("Row", bound=RecordRow)
Values = Mapping[str, Any]

# Answers that wait for a better one: replacing them is filling, not changing.
_OPEN_ANSWERS = ("", None, "pending")


def record(
    model: type[Row],
    *,
    parent: RecordRow,
    by: Actor | Person,
    values: Values,
    reason: str = "",
    uid: uuid.UUID | None = None,
) -> Row:
    """Store a new row of this subject under its parent."""
    row = new_row(model, parent=parent, values=values, uid=uid)
    store([row], by=by, reason=reason)
    return row


def new_row(
    model: type[Row], *, parent: RecordRow, values: Values, uid: uuid.UUID | None = None
) -> Row:
    """A row that is not stored yet."""
    return model(**{model.parent_field: parent}, **values, uid=uid or uuid.uuid4())


def store(rows: Sequence[RecordRow], *, by: Actor | Person, reason: str = "") -> None:
    """Store new rows of one patient together, parents first, or none of them."""
    for row in rows:
        capability = RIGHTS[row.subject.name].record
        require_right(by, capability, row.parent)
        if asks_reason(by, capability, row.parent):
            require_reason(reason)
    with transaction.atomic():
        _lock_patient(rows[0])
        rows[0].warnings = check(rows)
        for row in rows:
            filled = _filled(row)
            _put(row, list(filled), by)
            _tell(row, by=by, verb="record", changes=filled, reason=reason)


def amend(row: Row, *, by: Actor | Person, version: int, values: Values, reason: str = "") -> Row:
    """Change the fields given; a row changed since `version` was read is a Conflict."""
    require_right(by, RIGHTS[row.subject.name].amend, row)
    with transaction.atomic():
        _lock_patient(row)
        row = _standing(row)
        changes = {name: [getattr(row, name), new] for name, new in values.items()}
        changes = {name: pair for name, pair in changes.items() if pair[0] != pair[1]}
        if changes:
            _require_amendable(row, by=by, version=version, changes=changes, reason=reason)
            for name, (_, new) in changes.items():
                setattr(row, name, new)
            row.version += 1
            row.warnings = check([row])
            _put(row, list(changes), by)
            _tell(row, by=by, verb="amend", changes=changes, reason=reason)
    return row


def withdraw(row: Row, *, by: Actor | Person, version: int, reason: str) -> Row:
    """Mark the row, and what hangs on it, as entered in error; nothing is ever deleted."""
    require_right(by, RIGHTS[row.subject.name].withdraw, row)
    require_own_and_recent(by, row)
    require_reason(reason)
    with transaction.atomic():
        _lock_patient(row)
        row = _standing(row)
        if row.version != version:
            raise Conflict(row)
        _refuse_while_needed(row)
        moment = timezone.now()  # one for all: what goes together comes back together
        for each in [*standing_children(row), row]:
            _mark_withdrawn(each, by, reason, moment)
    return row


def restore(row: Row, *, by: Actor | Person, reason: str) -> Row:
    """Take a withdrawal back, of an episode and of what was withdrawn along with it."""
    require_right(by, "episode.restore", row)
    require_reason(reason)
    with transaction.atomic():
        _lock_patient(row)
        row = type(row).objects.select_for_update().get(pk=row.pk)
        if row.withdrawn_at is None or _stands_under_withdrawn(row):
            raise refuse("", "There is nothing to restore here now.")
        back = [row, *_withdrawn_along(row)]
        for each in back:
            each.withdrawn_at, each.withdrawn_by, each.withdrawn_reason = None, None, ""
            each.version += 1
        row.warnings = check(back)
        for each in back:
            each.save()
            _tell(each, by=by, verb="restore", changes={}, reason=reason)
    return row


def _stands_under_withdrawn(row: RecordRow) -> bool:
    return row.parent is not None and row.parent.withdrawn_at is not None


def _lock_patient(row: RecordRow) -> None:
    """One writer a patient at a time: the checks look at all that patient's rows."""
    patient = patient_of(row)
    if patient is not None and patient.pk:
        Patient.objects.select_for_update().get(pk=patient.pk)


def _standing(row: Row) -> Row:
    fresh = type(row).objects.select_for_update().get(pk=row.pk)
    if fresh.withdrawn_at is not None:
        raise refuse("", f"This {row.subject.one} was withdrawn meanwhile: nothing was saved.")
    return fresh


def _require_amendable(
    row: RecordRow, *, by: Actor | Person, version: int, changes: Values, reason: str
) -> None:
    if row.version != version:
        raise Conflict(row)
    if closed := sorted(set(changes) - fields_open_to(by, row)):
        raise refuse(closed[0], "This is for the nurse or the data manager.")
    if any(old not in _OPEN_ANSWERS for old, _ in changes.values()):
        require_reason(reason)


def _put(row: RecordRow, touched: list[str], by: Actor | Person) -> None:
    """Store a checked row; the columns that a person wrote are marked, for imports to respect."""
    if isinstance(by, Person):
        row.hand_columns = sorted({*row.hand_columns, *touched})
    row.save()


def _filled(row: RecordRow) -> dict[str, list[Any]]:
    names = [column.name for column in row.subject]
    names += ["number"] if isinstance(row, Patient) else []
    values = {name: getattr(row, name) for name in names}
    return {name: [None, value] for name, value in values.items() if value not in ("", None)}


def _tell(row: RecordRow, *, by: Actor | Person, verb: str, changes: Values, reason: str) -> None:
    patient = patient_of(row)
    write_event(
        clinic=clinic_of(row), by=by, verb=verb, thing=row.subject.name, thing_uid=row.uid,
        patient_uid=patient.uid if patient else None, changes=dict(changes), reason=reason.strip(),
    )  # fmt: skip


def _refuse_while_needed(row: RecordRow) -> None:
    """A patient stays while an episode or a spell of theirs stands (access.csv)."""
    if not isinstance(row, Patient):
        return
    for name in ("pd_spells", "peritonitis", "catheter_infections"):
        standing = MODELS[name].objects.filter(patient=row, withdrawn_at=None).count()
        if standing:
            one = MODELS[name].subject.one
            raise refuse("", f"Withdraw first what hangs on the patient: {standing} × {one}.")


def standing_children(row: RecordRow) -> list[RecordRow]:
    """Rows below this one, the deepest first."""
    below: list[RecordRow] = []
    for model in MODELS.values():
        if model.subject.parent == row.subject.name:
            for child in model.objects.filter(**{model.parent_field: row}, withdrawn_at=None):
                below += [*standing_children(child), child]
    return below


def _withdrawn_along(row: RecordRow) -> list[RecordRow]:
    """Rows below this one that were withdrawn in the same step, parents first."""
    below: list[RecordRow] = []
    for model in MODELS.values():
        if model.subject.parent == row.subject.name:
            same = {model.parent_field: row, "withdrawn_at": row.withdrawn_at}
            for child in model.objects.filter(**same):
                below += [child, *_withdrawn_along(child)]
    return below


def _mark_withdrawn(row: RecordRow, by: Actor | Person, reason: str, moment: datetime) -> None:
    row.withdrawn_at = moment
    row.withdrawn_by = actor_of(by).person
    row.withdrawn_reason = reason.strip()[:400]
    row.version += 1
    row.save()
    _tell(row, by=by, verb="withdraw", changes={}, reason=reason)
