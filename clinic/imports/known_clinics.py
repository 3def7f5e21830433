"""The clinics of a load: those its files name are made or amended, the others must be stored."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from zoneinfo import ZoneInfo

from clinic.checks import CheckRow, Stored
from clinic.clock import today
from clinic.columns import CLINICS
from clinic.imports.changes import apply_change
from clinic.imports.events import Events
from clinic.imports.merge import Merged, merge_patient
from clinic.imports.outcome import Outcome
from clinic.imports.places import Place, Remark
from clinic.imports.rows import TableReader
from clinic.imports.source import ALL_COLUMNS, Source
from clinic.imports.tell import change_remarks
from clinic.models import Clinic
from clinic.reading import CellFault, read_cell

UTC = ZoneInfo("UTC")


@dataclass
class ClinicOfLoad:
    """A clinic with its zone and day; of one that this load makes, nothing else is stored yet."""

    clinic: Clinic
    zone: ZoneInfo
    today: date | None
    is_new: bool


def known_clinics(source: Source, outcome: Outcome, events: Events) -> dict[str, ClinicOfLoad]:
    """By code: every clinic of the files that this load makes, amends or finds stored."""
    stored = {clinic.code: clinic for clinic in Clinic.objects.filter(code__in=set(_codes(source)))}
    known = {code: _of_load(clinic, is_new=False) for code, clinic in stored.items()}
    for code, rows in _given(source, outcome).items():
        merged = merge_patient(code, {"clinics": rows}, _stored_rows(stored.get(code)))
        outcome.faults += merged.faults
        outcome.kept_cells += merged.kept_cells
        if code not in stored:
            known[code] = _of_load(_made(merged, outcome, events), is_new=True)
        elif merged.changes:
            known[code] = _of_load(_amended(stored[code], merged, outcome, events), is_new=False)
    outcome.faults += [
        _withdrawn(code) for code, clinic in stored.items() if clinic.withdrawn_at is not None
    ]
    return known


def _codes(source: Source) -> Iterator[str]:
    """Clinic cells that are names; what is none is told where its row is read."""
    column = ALL_COLUMNS["clinics"]["clinic"]
    for table in source.tables.values():
        at = table.columns.index("clinic")
        for text in {raw[2][at] for raw in table.rows}:
            with suppress(CellFault):
                yield str(read_cell(column, text))


def _given(source: Source, outcome: Outcome) -> dict[str, list[CheckRow]]:
    """Rows of clinics.csv by code; one without a readable code is told and left out."""
    given: dict[str, list[CheckRow]] = {}
    table = source.tables.get("clinics")
    if table is None:
        return given
    reader = TableReader(table, UTC, None, "")
    for raw in table.rows:
        row = reader.read(raw)
        outcome.faults += row.where.fault_remarks()
        outcome.warnings += row.where.warning_remarks()
        if "clinic" in row.where.faulty:
            source.lose("clinics", raw[2])
        else:
            given.setdefault(row["clinic"], []).append(row)
    return given


def _stored_rows(clinic: Clinic | None) -> dict[str, list[CheckRow]]:
    if clinic is None:
        return {}
    values = {column.name: getattr(clinic, column.name) for column in CLINICS}
    where = Stored(
        "clinics", clinic.pk, clinic.uid, clinic.version, clinic.hand_columns, clinic.withdrawn_at
    )
    return {"clinics": [CheckRow("clinics", {"clinic": clinic.code} | values, where, False)]}


def _made(merged: Merged, outcome: Outcome, events: Events) -> Clinic:
    """A new clinic, stored while the load has no fault."""
    row = merged.new["clinics"][0]
    made = Clinic(code=merged.patient, **{column.name: row[column.name] for column in CLINICS})
    outcome.added["clinics"] += 1
    if not outcome.faults:
        made.save()
        events.add(made, "clinics", 1)
    return made


def _amended(clinic: Clinic, merged: Merged, outcome: Outcome, events: Events) -> Clinic:
    (change,) = merged.changes
    outcome.changes += change_remarks(merged.patient, change)
    outcome.changed["clinics"] += 1
    for name, (_, new) in change.cells.items():
        setattr(clinic, name, new)
    if not outcome.faults:
        apply_change(change, {})
        events.change(clinic, change, None)
    return clinic


def _of_load(clinic: Clinic, *, is_new: bool) -> ClinicOfLoad:
    if not clinic.time_zone:  # its cell was no time zone, which is told
        return ClinicOfLoad(clinic, UTC, None, is_new)
    return ClinicOfLoad(clinic, clinic.zone, today(clinic), is_new)


def _withdrawn(code: str) -> Remark:
    said = "was withdrawn from the record: nothing is loaded into it"
    return Remark(Place("clinics.csv"), "clinic", code, said, code="clinic_withdrawn")
