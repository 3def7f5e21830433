"""The only reader of the record's models: standing rows of some clinics become plain tables."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
import pandas as pd
from django.db import connection, transaction
from django.db.models import Expression, F, Max

from clinic.catalogue import name_key
from clinic.columns import SUBJECTS
from clinic.local_names import names_by_place
from clinic.models import MODELS, AuditEvent, Clinic, Dissent, Patient, Person
from surveillance.sql_encodings import DayNumber, Second, YesNo
from surveillance.tables import NO_DAY, NO_MOMENT, RECORD_TABLES, Column, Record, typed_frame

__all__ = [
    "Clinic",
    "Patient",
    "Person",
    "consistent_read",
    "read_dissents",
    "read_entries",
    "read_patient",
    "read_record",
]

# For each table: its links, as (column, parent's table, field of the model).
_PATIENT = ("patient", "patients", "patient_id")
_LINKS = {
    "patients": [("clinic", "clinics", "clinic_id")],
    "effluent_samples": [("episode", "peritonitis", "peritonitis_id")],
    "isolates": [("sample", "effluent_samples", "effluent_sample_id")],
    "admissions": [_PATIENT, ("episode", "peritonitis", "peritonitis_id")],
}
# From a row to its patient, step by step: every row on the way has to stand.
_WAYS = {
    "patients": ("clinic",),
    "effluent_samples": ("peritonitis", "patient"),
    "isolates": ("effluent_sample", "peritonitis", "patient"),
}
# Where the record's word differs from the table's.
_FIELDS = {("patients", "patient"): "number"}
_EXPRESSIONS: dict[str, Callable[[str], Expression | F]] = {
    "day": DayNumber,
    "moment": Second,
    "yes_no": YesNo,
}


@dataclass(frozen=True)
class _Source:
    """Whose rows are read (a condition on the patient), and what was read so far."""

    lookup: str
    value: Any
    clinics: Sequence[Clinic]
    place: dict[str, dict[int, int]] = field(default_factory=dict)  # row position by id, a table
    clinic: dict[str, Any] = field(default_factory=dict)  # clinic of each row, a table
    named: dict[int, dict[str, str]] = field(default_factory=dict)  # local names, a clinic's place

    @property
    def zones(self) -> list[ZoneInfo]:
        return [clinic.zone for clinic in self.clinics]


def _conditions(table: str, source: _Source) -> dict[str, Any]:
    way = _WAYS.get(table, ("patient",))
    steps = ["__".join(way[: length + 1]) for length in range(len(way))]
    patient = "" if table == "patients" else f"{steps[-1]}__"
    standing = {f"{step}__withdrawn_at": None for step in steps}
    return {"withdrawn_at": None, **standing, f"{patient}{source.lookup}": source.value}


def _is_local_day(table: str, column: Column) -> bool:
    """A day that the record holds as a moment: it depends on the clinic's zone."""
    return column.kind == "day" and all(column.name != each.name for each in SUBJECTS[table])


def _expression(table: str, column: Column) -> Expression | F:
    if _is_local_day(table, column):
        return Second(f"{column.name.removesuffix('_on')}_at")
    name = _FIELDS.get((table, column.name), column.name)
    return _EXPRESSIONS.get(column.kind, F)(name)


def _cells(table: str, source: _Source) -> dict[str, Sequence[Any]]:
    """The standing rows, a sequence a column: ids first, so that links can be followed."""
    links = _LINKS.get(table, [_PATIENT])
    plain = [column for column in RECORD_TABLES[table] if column.kind != "link"]
    rows = MODELS[table].objects.filter(**_conditions(table, source)).order_by("pk")
    ids = ["pk", *(id_field for _, _, id_field in links)]
    query = rows.values_list(*ids, *(_expression(table, column) for column in plain)).query
    with connection.cursor() as cursor:
        cursor.execute(*query.sql_with_params())
        found = cursor.fetchall()
    names = ["pk", *(name for name, _, _ in links), *(column.name for column in plain)]
    columns = zip(*found, strict=True) if found else ((),) * len(names)
    return dict(zip(names, columns, strict=True))


def _in_order(cells: dict[str, Sequence[Any]], place: dict[int, int]) -> dict[str, Sequence[Any]]:
    """Patients by clinic, then record number in code-point order, whatever the collation."""
    keys = list(zip(map(place.__getitem__, cells["clinic"]), cells["patient"], strict=True))
    order = sorted(range(len(keys)), key=keys.__getitem__)
    return {name: [values[row] for row in order] for name, values in cells.items()}


def _local_days(seconds: Any, clinic: Any, zones: Sequence[ZoneInfo]) -> Any:
    """The day that each moment falls on in its clinic's own zone."""
    days = np.full(len(seconds), NO_DAY, dtype=np.int32)
    for code, zone in enumerate(zones):
        here = np.flatnonzero((clinic == code) & (seconds != NO_MOMENT))
        moments = pd.to_datetime(seconds[here], unit="s", utc=True)
        local = moments.tz_convert(zone).tz_localize(None)
        days[here] = local.to_numpy().astype("datetime64[D]").astype(np.int32)
    return days


def _frame(table: str, source: _Source) -> pd.DataFrame:
    cells = _cells(table, source)
    if table == "patients":
        cells = _in_order(cells, source.place["clinics"])
    values: dict[str, Any] = {name: cells[name] for name in cells if name != "pk"}
    for name, parent, _ in _LINKS.get(table, [_PATIENT]):
        place = source.place[parent]
        values[name] = np.array([place.get(row_id, -1) for row_id in cells[name]], dtype=np.int32)
    first, parent, _ = _LINKS.get(table, [_PATIENT])[0]
    source.place[table] = {row_id: row for row, row_id in enumerate(cells["pk"])}
    source.clinic[table] = source.clinic[parent][values[first]]
    if "organism" in values and source.named:
        values["organism"] = _as_named(values["organism"], source.clinic[table], source.named)
    for column in RECORD_TABLES[table]:
        if _is_local_day(table, column):
            seconds = np.array(cells[column.name], dtype=np.int64)
            values[column.name] = _local_days(seconds, source.clinic[table], source.zones)
    return typed_frame(RECORD_TABLES[table], values)


def _as_named(texts: Sequence[str], clinic: Any, named: dict[int, dict[str, str]]) -> Any:
    """A laboratory's own names read as the entries they were mapped to, clinic by clinic."""
    read = list(texts)
    for row in np.flatnonzero(np.isin(clinic, list(named))):
        read[row] = named[int(clinic[row])].get(name_key(read[row]), read[row])
    return read


def _record(lookup: str, value: Any, clinics: Sequence[Clinic]) -> Record:
    source = _Source(lookup, value, clinics, named=names_by_place(clinics))
    source.place["clinics"] = {clinic.pk: code for code, clinic in enumerate(clinics)}
    source.clinic["clinics"] = np.arange(len(clinics), dtype=np.int32)
    codes = {"clinic": [clinic.code for clinic in clinics]}
    read = {table: _frame(table, source) for table in RECORD_TABLES if table != "clinics"}
    return Record(clinics=typed_frame(RECORD_TABLES["clinics"], codes), **read)


def read_record(clinics: Sequence[Clinic]) -> Record:
    """The standing record of these clinics, in the order of their names."""
    ordered = sorted(clinics, key=lambda clinic: clinic.code)
    return _record("clinic__in", [clinic.pk for clinic in ordered], ordered)


def read_dissents(clinic: Clinic) -> list[dict[str, str]]:
    """What named persons hold of the categories of standing episodes, in the order said."""
    rows = Dissent.objects.filter(
        episode__patient__clinic=clinic, episode__withdrawn_at=None,
        episode__patient__withdrawn_at=None,
    ).select_related("episode__patient", "by")  # fmt: skip
    return [
        {
            "patient": row.episode.patient.number,
            "episode": row.episode.episode,
            "dissent": row.category,
            "reason": row.reason,
            "by": row.by.name,
            "said_on": row.at.astimezone(clinic.zone).date().isoformat(),
        }
        for row in rows.order_by("pk")
    ]


_ENTERED = {"peritonitis": "episode", "catheter_infections": "infection"}


def read_entries(clinic: Clinic) -> list[dict[str, str]]:
    """When each standing episode and infection was entered and last changed, and who found it."""
    changed = _last_changed(clinic)
    return [
        _entry(clinic, table, row, changed.get(row.uid))
        for table in _ENTERED
        for row in MODELS[table].objects.filter(
            patient__clinic=clinic, withdrawn_at=None, patient__withdrawn_at=None
        ).select_related("patient").order_by("pk")
    ]  # fmt: skip


def _entry(clinic: Clinic, table: str, row: Any, changed_at: datetime | None) -> dict[str, str]:
    return {
        "patient": row.patient.number,
        "kind": table.removesuffix("s") if table.endswith("ions") else table,
        "episode": getattr(row, _ENTERED[table]),
        "found_by": getattr(row, "found_by", "") or "",
        "entered_on": row.recorded_at.astimezone(clinic.zone).date().isoformat(),
        "last_changed_on": changed_at.astimezone(clinic.zone).date().isoformat()
        if changed_at
        else "",
    }


def _last_changed(clinic: Clinic) -> dict[Any, datetime]:
    events = AuditEvent.objects.filter(chain__clinic=clinic, thing__in=_ENTERED)
    return dict(events.values_list("thing_uid").annotate(last=Max("at")).order_by())


def read_patient(patient: Patient) -> Record:
    """The standing record of one patient, for the page that shows how an episode counts."""
    return _record("pk", patient.pk, [patient.clinic])


@contextmanager
def consistent_read() -> Iterator[None]:
    """One transaction that sees all of another's load or nothing of it."""
    outermost = not connection.in_atomic_block
    with transaction.atomic():
        if outermost and connection.vendor == "postgresql":
            with connection.cursor() as cursor:
                cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ")
        yield
