"""Reads one cell, or one row of cells, into the values that the record stores."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, tzinfo

from clinic.catalogue import entry_by_name, name_key
from clinic.columns import Column
from clinic.reading.days import read_day
from clinic.reading.faults import CellFault, CellWarning
from clinic.reading.moments import read_moment
from clinic.reading.numbers import read_number, read_whole, unusual_number
from clinic.reading.texts import read_note, read_text, require_storable, without_outer_blanks

Value = str | date | datetime | float | int | None

_TEXT_KINDS = frozenset({"text", "note", "organism", "choice", "several", "yes_no"})


def empty_value(column: Column) -> Value:
    """How the record keeps what is not known: empty text, or nothing."""
    return "" if column.kind in _TEXT_KINDS else None


def read_cell(
    column: Column,
    text: str,
    zone: tzinfo = UTC,
    today: date | None = None,
    place: str = "",
) -> Value:
    """The value that the text stands for; CellFault says what is wrong.

    `zone` is the clinic's; `today` its day (none = days to come pass) and `place` its name.
    """
    require_storable(text)
    text = without_outer_blanks(column, text)
    if not text:
        if column.required:
            raise CellFault("required", "must be filled")
        return empty_value(column)
    if column.to_come:
        today = None
    if column.kind == "day":
        return read_day(column, text, today, place)
    if column.kind == "moment":
        return read_moment(column, text, zone, today, place)
    return _READERS[column.kind](column, text)


def _read_choice(column: Column, text: str) -> str:
    if text not in column.choices:
        near = [choice for choice in column.choices if choice == text.lower()]
        hint = f"; write {near[0]}" if near else ""
        raise CellFault("choice", f"allowed: {column.allowed}{hint}")
    return text


def _read_several(column: Column, text: str) -> str:
    """Each once, in the order of the record; `none` stands alone."""
    chosen = {part.strip() for part in text.split(";") if part.strip()}
    if unknown := sorted(chosen - set(column.choices)):
        raise CellFault("choice", f"{unknown[0]} is not listed; allowed: {column.allowed}")
    if "none" in chosen and len(chosen) > 1:
        raise CellFault("choice", "none and something else: take one of them away")
    return ";".join(choice for choice in column.choices if choice in chosen)


_READERS = {
    "text": read_text,
    "note": read_note,
    "several": _read_several,
    "organism": read_text,
    "choice": _read_choice,
    "yes_no": _read_choice,
    "number": read_number,
    "whole": read_whole,
}


def cell_warnings(column: Column, text: str, value: Value) -> list[CellWarning]:
    """What is stored as read and listed until somebody settles it."""
    found: list[CellWarning] = []
    if value not in ("", None) and without_outer_blanks(column, text) != text:
        found.append(CellWarning("blanks_removed", "outer blanks removed"))
    if isinstance(value, int | float) and (unusual := unusual_number(column, value)):
        found.append(unusual)
    if column.kind == "organism" and value and not _is_listed(str(value)):
        sentence = "not in the organism list: kept as written, counted as an organism of its own"
        found.append(CellWarning("organism_unlisted", sentence))
    return found


def _is_listed(organism: str) -> bool:
    return organism == "no_growth" or name_key(organism) in entry_by_name()


@dataclass
class RowReading:
    """A row as read: values of the good cells, and what there is to say about the others."""

    values: dict[str, Value] = field(default_factory=dict)
    faults: dict[str, CellFault] = field(default_factory=dict)
    warnings: dict[str, list[CellWarning]] = field(default_factory=dict)


def read_row(
    columns: Iterable[Column],
    cells: Mapping[str, str],
    zone: tzinfo = UTC,
    today: date | None = None,
    place: str = "",
) -> RowReading:
    """Reads every cell and reports all faults, not the first alone; a missing cell is empty."""
    row = RowReading()
    for column in columns:
        text = cells.get(column.name, "")
        try:
            value = read_cell(column, text, zone, today, place)
        except CellFault as fault:
            row.faults[column.name] = fault
            continue
        row.values[column.name] = value
        if said := cell_warnings(column, text, value):
            row.warnings[column.name] = said
    return row
