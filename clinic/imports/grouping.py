"""Sorts raw rows by clinic and patient, so that a load holds few of them as values at a time."""

from __future__ import annotations

from clinic.imports.known_clinics import UTC, ClinicOfLoad
from clinic.imports.outcome import Outcome
from clinic.imports.places import Remark
from clinic.imports.rows import TableReader
from clinic.imports.source import ALL_COLUMNS, RawRow, Source, Table
from clinic.reading import CellFault, read_cell

PatientTables = dict[str, list[RawRow]]  # by subject
ClinicRows = dict[str, PatientTables]  # by patient
Grouped = dict[str, ClinicRows]  # by clinic


def grouped(source: Source, clinics: dict[str, ClinicOfLoad], outcome: Outcome) -> Grouped:
    """Rows of known clinics by clinic and patient; the others become faults."""
    found: Grouped = {}
    for name, table in source.tables.items():
        if name != "clinics":
            homeless = _sort_table(table, clinics, found, source, outcome)
            outcome.faults += [
                _unknown_clinic(table, clinic, raws)
                for clinic, raws in homeless.items()
                if not source.is_lost("clinics", clinic)
            ]
            table.rows = []  # held by clinic and patient from here on
    return found


def _sort_table(
    table: Table,
    clinics: dict[str, ClinicOfLoad],
    found: Grouped,
    source: Source,
    outcome: Outcome,
) -> dict[str, list[RawRow]]:
    """The rows whose clinic is not known are left, by that clinic."""
    clinic_at, patient_at = table.columns.index("clinic"), table.columns.index("patient")
    names, subject = _Names(table), table.subject.name
    homeless: dict[str, list[RawRow]] = {}
    for raw in table.rows:
        clinic = names.of("clinic", raw[2][clinic_at])
        patient = names.of("patient", raw[2][patient_at])
        if clinic is None or patient is None:
            _tell_nameless(table, raw, clinics.get(clinic or ""), outcome)
            source.lose(subject, raw[2])
        elif clinic not in clinics:
            homeless.setdefault(clinic, []).append(raw)
        else:
            patients = found.setdefault(clinic, {})
            patients.setdefault(patient, {}).setdefault(subject, []).append(raw)
    return homeless


class _Names:
    """Clinic and patient cells as names; none where the text is no name."""

    def __init__(self, table: Table) -> None:
        self.columns = ALL_COLUMNS[table.subject.name]
        self.known: dict[tuple[str, str], str | None] = {}

    def of(self, column: str, text: str) -> str | None:
        key = (column, text)
        if key not in self.known:
            self.known[key] = self._read(column, text)
        return self.known[key]

    def _read(self, column: str, text: str) -> str | None:
        try:
            return str(read_cell(self.columns[column], text))
        except CellFault:
            return None


def _tell_nameless(table: Table, raw: RawRow, here: ClinicOfLoad | None, outcome: Outcome) -> None:
    """Whose row it is cannot be read; what else is wrong with it is told all the same."""
    zone, day = (here.zone, here.today) if here else (UTC, None)
    row = TableReader(table, zone, day, here.clinic.name if here else "").read(raw)
    outcome.faults += row.where.fault_remarks()


def _unknown_clinic(table: Table, clinic: str, raws: list[RawRow]) -> Remark:
    said = "clinic not in this folder and not in the record"
    said += f" ({len(raws)} rows of this file)" if len(raws) > 1 else ""
    return Remark(table.place(raws[0]), "clinic", clinic, said, "", "without_clinic")
