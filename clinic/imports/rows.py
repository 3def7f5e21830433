"""Turns rows of text cells into rows of values, and tells every cell that is no value."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, tzinfo
from typing import Any

from clinic.checks import CheckRow
from clinic.columns import Column
from clinic.imports.places import Place, Remark
from clinic.imports.source import ALL_COLUMNS, RawRow, Table
from clinic.reading import CellFault, CellWarning, cell_warnings, empty_value, read_cell

_Read = tuple[Any, CellFault | None, list[CellWarning]]


@dataclass(slots=True)
class RowAt:
    """Where a row stands in its table, and what is known of it."""

    table: Table
    raw: RawRow
    faulty: dict[str, CellFault] = field(default_factory=dict)  # cells that are no value
    unusual: dict[str, list[CellWarning]] = field(default_factory=dict)

    @property
    def place(self) -> Place:
        return self.table.place(self.raw)

    def text(self, column: str) -> str:
        columns = self.table.columns
        return self.raw[2][columns.index(column)] if column in columns else ""

    def remark(self, column: str, code: str, sentence: str, allowed: str = "") -> Remark:
        return Remark(self.place, column, self.text(column), sentence, allowed, code)

    def fault_remarks(self) -> list[Remark]:
        return [self._fault_remark(name, fault) for name, fault in self.faulty.items()]

    def _fault_remark(self, name: str, fault: CellFault) -> Remark:
        allowed = ALL_COLUMNS[self.table.subject.name][name].allowed
        told = "" if allowed in fault.sentence else allowed
        return self.remark(name, fault.code, fault.sentence, told)

    def warning_remarks(self) -> list[Remark]:
        return [
            self.remark(name, said.code, said.sentence)
            for name, warnings in self.unusual.items()
            for said in warnings
        ]


class TableReader:
    """Reads the rows of one table for one clinic; a text met before is not read again."""

    def __init__(self, table: Table, zone: tzinfo, today: date | None, place: str) -> None:
        self.table, self.zone, self.today, self.place = table, zone, today, place
        columns = ALL_COLUMNS[table.subject.name]
        self.absent = {
            name: empty_value(column)
            for name, column in columns.items()
            if name not in table.columns
        }
        self.columns: list[tuple[str, Column, dict[str, _Read]]] = [
            (name, columns[name], {}) for name in table.columns
        ]

    def read(self, raw: RawRow) -> CheckRow:
        values = self.absent.copy()
        where = RowAt(self.table, raw)
        for (name, column, known), text in zip(self.columns, raw[2], strict=True):
            read = known.get(text)
            if read is None:
                read = known[text] = self._cell(column, text)
            value, fault, warnings = read
            values[name] = value
            if fault is not None:
                where.faulty[name] = fault
            elif warnings:
                where.unusual[name] = warnings
        return CheckRow(self.table.subject.name, values, where)

    def _cell(self, column: Column, text: str) -> _Read:
        try:
            value = read_cell(column, text, self.zone, self.today, self.place)
        except CellFault as fault:
            return empty_value(column), fault, []
        return value, None, cell_warnings(column, text, value)
