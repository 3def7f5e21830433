"""Some patients of one clinic: their rows read, laid over the stored ones, checked, written."""

from __future__ import annotations

from clinic.checks import CheckRow, check_patient, stored_rows
from clinic.imports.changes import apply_change
from clinic.imports.events import Events
from clinic.imports.grouping import ClinicRows, PatientTables
from clinic.imports.known_clinics import ClinicOfLoad
from clinic.imports.merge import Merged, merge_patient
from clinic.imports.new_rows import Links, insert_new
from clinic.imports.outcome import Outcome
from clinic.imports.places import Remark
from clinic.imports.rows import TableReader
from clinic.imports.source import Source
from clinic.imports.tell import change_remarks, is_explained, remark_of
from clinic.models import Patient

StoredOf = dict[str, dict[str, list[CheckRow]]]  # by patient's number, then subject


def load_batch(
    here: ClinicOfLoad, patients: ClinicRows, source: Source, outcome: Outcome, events: Events
) -> set[str]:
    """Numbers of the patients of whom something is new; written only while there is no fault."""
    stored = {} if here.is_new else _stored(here, list(patients))
    readers = {
        name: TableReader(table, here.zone, here.today, here.clinic.name)
        for name, table in source.tables.items()
    }
    touched = []
    for number, tables in patients.items():
        merged = _merge(number, tables, stored.get(number, {}), readers, outcome)
        if merged is not None:
            _check(merged, here, source, outcome)
            _count(merged, outcome)
            if not merged.nothing_new:
                touched.append(merged)
    if not outcome.faults:
        _write(here, touched, stored, events)
    return {merged.patient for merged in touched}


def _stored(here: ClinicOfLoad, numbers: list[str]) -> StoredOf:
    """The patients are held until the load ends, as every action holds the one it writes."""
    rows = Patient.objects.filter(clinic=here.clinic, number__in=numbers).order_by("pk")
    held = dict(rows.select_for_update().values_list("pk", "number"))
    return {held[pk]: found for pk, found in stored_rows(list(held), withdrawn=True).items()}


def _merge(
    number: str,
    tables: PatientTables,
    stored: dict[str, list[CheckRow]],
    readers: dict[str, TableReader],
    outcome: Outcome,
) -> Merged | None:
    given = {name: list(map(readers[name].read, raws)) for name, raws in tables.items()}
    whole = stored.get("patients")
    if whole and whole[0].where.withdrawn_at is not None:
        outcome.withdrawn_rows += sum(map(len, given.values()))
        return None
    for rows in given.values():
        for row in rows:
            if row.where.faulty:
                outcome.faults += row.where.fault_remarks()
    return merge_patient(number, given, stored)


def _check(merged: Merged, here: ClinicOfLoad, source: Source, outcome: Outcome) -> None:
    outcome.faults += merged.faults
    for row in merged.unkeyed:
        source.lose(row.subject, row.where.raw[2])
    if not merged.rows.get("patients") and not source.is_lost("patients", merged.patient):
        outcome.faults += _without_patient(merged)
    if merged.nothing_new:
        return
    for finding in check_patient(merged.rows, here.zone):
        if not finding.fault:
            outcome.warnings.append(remark_of(finding))
        elif not is_explained(finding, merged.rows, source):
            outcome.faults.append(remark_of(finding))
    for rows in merged.rows.values():
        for row in rows:
            if row.changed and row.where.unusual:
                outcome.warnings += row.where.warning_remarks()


def _without_patient(merged: Merged) -> list[Remark]:
    """Told once a file, at the first of the patient's rows there."""
    said = "patient not in this folder and not in the record"
    return [
        rows[0].where.remark("patient", "without_patient", said)
        for rows in merged.new.values()
        if rows
    ]


def _count(merged: Merged, outcome: Outcome) -> None:
    outcome.kept_cells += merged.kept_cells
    outcome.withdrawn_rows += merged.withdrawn_rows
    for name, rows in merged.new.items():
        outcome.added[name] += len(rows)
    for change in merged.changes:
        outcome.changed[change.row.subject] += 1
        outcome.changes += change_remarks(merged.patient, change)


def _write(here: ClinicOfLoad, touched: list[Merged], stored: StoredOf, events: Events) -> None:
    links = Links(here.clinic.pk, stored)
    insert_new(here.clinic, touched, links, events)
    for merged in touched:
        for change in merged.changes:
            apply_change(change, links.beside(merged.patient, change.row))
            events.change(here.clinic, change, links.patient_uid(merged.patient))
