"""One field of the API a column of the record, read by the reader of forms and record files."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from rest_framework.exceptions import ValidationError
from rest_framework.fields import Field, SkipField, empty

from clinic.api.parsing import NumberText
from clinic.clock import today
from clinic.columns import Column
from clinic.reading import CellFault, cell_warnings, read_cell

_NUMBERS = frozenset({"number", "whole"})


class CellField(Field):
    """Null and an empty text are an empty cell; out comes null for what is not known."""

    def __init__(self, column: Column, *, may_lack: bool = False) -> None:
        super().__init__(required=column.required and not may_lack, help_text=column.meaning)
        self.column, self.may_lack = column, may_lack

    def run_validation(self, data: Any = empty) -> Any:
        if data is empty and self.may_lack:
            raise SkipField
        clinic = self.context["clinic"]
        try:
            text = cell_text(self.column, None if data is empty else data)
            value = read_cell(self.column, text, clinic.zone, today(clinic), clinic.name)
        except CellFault as fault:
            raise ValidationError(fault.sentence) from fault
        said = [warning.sentence for warning in cell_warnings(self.column, text, value)]
        self.context["warnings"][self.field_name] = said
        return value

    def to_representation(self, value: Any) -> Any:
        if value == "":
            return None
        if isinstance(value, datetime):
            return value.astimezone(self.context["clinic"].zone).isoformat()
        if self.column.kind == "several":
            return value.split(";")
        return value


def cell_text(column: Column, value: Any) -> str:
    """A JSON value as the text of a record file's cell; what no cell can hold is a fault."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if column.kind == "several" and isinstance(value, list):
        return ";".join(_part(part) for part in value)
    if isinstance(value, list | dict):
        raise CellFault("one_value", f"one value, no list and no object; allowed: {column.allowed}")
    if isinstance(value, NumberText) and column.kind not in _NUMBERS:
        raise CellFault("quotation", "write it in quotation marks")
    return value


def _part(value: Any) -> str:
    if not isinstance(value, str):
        raise CellFault("one_value", "a list of texts")
    return value
