"""Reads patients' stored rows in the form that the checks and the record files share."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from clinic.checks.rows import CheckRow
from clinic.columns import file_columns, parent_keys
from clinic.lineage import path_to_clinic, path_to_patient
from clinic.models import MODELS, Patient, RecordRow


@dataclass(frozen=True, slots=True)
class Stored:
    """Where a row stands in the database, and whether it still stands."""

    subject: str
    pk: int
    uid: UUID
    version: int
    hand_columns: list[str]
    withdrawn_at: datetime | None


_OF_THE_ROW = ("pk", "uid", "version", "hand_columns", "withdrawn_at")


def stored_rows(
    patients: Sequence[int], *, withdrawn: bool = False
) -> dict[int, dict[str, list[CheckRow]]]:
    """By patient's primary key, then subject: the standing rows (and, if asked, the others)."""
    found: dict[int, dict[str, list[CheckRow]]] = {pk: {} for pk in patients}
    for name, model in MODELS.items():
        if name != "clinics":
            for patient, row in _rows_of(model, patients, withdrawn):
                found[patient].setdefault(name, []).append(row)
    return found


def _rows_of(
    model: type[RecordRow], patients: Sequence[int], withdrawn: bool
) -> Iterator[tuple[int, CheckRow]]:
    patient = path_to_patient(model) or "pk"
    standing = {} if withdrawn else {"withdrawn_at": None}
    names, lookups = zip(*cell_lookups(model).items(), strict=True)
    rows = model.objects.filter(**{f"{patient}__in": patients}, **standing).order_by("pk")
    key = "pk" if model is Patient else f"{patient}_id"
    for whose, *cells in rows.values_list(key, *_OF_THE_ROW, *lookups).iterator(10_000):
        where = Stored(model.subject.name, *cells[:5])
        yield whose, CheckRow(where.subject, dict(zip(names, cells[5:], strict=True)), where, False)


def cell_lookups(model: type[RecordRow]) -> dict[str, str]:
    """The look-up of every cell of the subject's record file: {"episode": "peritonitis__episode"}.

    A parent's own name is found one step up the row's lineage.
    """
    above = _names_above(model)
    return {name: above.get(name, name) for name in file_columns(model.subject)}


def _names_above(model: type[RecordRow]) -> dict[str, str]:
    """Where the cells that say whose row it is are kept."""
    found = {"clinic": f"{path_to_clinic(model)}__code".lstrip("_")}
    path, above = "", model
    for name in reversed(parent_keys(model.subject)[1:]):
        path = f"{path}__{above.parent_field}".lstrip("_")
        above = above._meta.get_field(above.parent_field).related_model
        found[name] = f"{path}__{'number' if name == 'patient' else name}"
    if model is Patient:
        found["patient"] = "number"
    return found
