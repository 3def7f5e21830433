"""Tables in, a workbook out: typed cells, a sheet a table, row by row in constant memory."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterable, Mapping
from datetime import UTC, datetime
from typing import Any

import xlsxwriter
from xlsxwriter.worksheet import Worksheet

from reports.rate_report.part import HIDDEN, Field

_CREATED = datetime(1980, 1, 1, tzinfo=UTC).replace(tzinfo=None)  # fixed: the same bytes each time
_LONGEST = 32767  # letters that a cell holds
_WIDTHS = {"text": 18, "whole": 12, "number": 12}


class Workbook:
    """Sheets are written in the order in which they are added."""

    def __init__(self, title: str) -> None:
        self._out = io.BytesIO()
        self.book = xlsxwriter.Workbook(
            self._out,
            {"constant_memory": True, "strings_to_formulas": False, "strings_to_urls": False},
        )
        self.book.set_properties({"title": title, "created": _CREATED})
        self.head = self.book.add_format({"bold": True, "text_wrap": True, "valign": "top"})
        self.text = self.book.add_format({"num_format": "@"})

    def sheet(self, name: str) -> Worksheet:
        return self.book.add_worksheet(name)

    def table(
        self, name: str, fields: tuple[Field, ...], rows: Iterable[Mapping[str, str]],
        formula: Callable[[int, str], str] = lambda row, column: "",
    ) -> None:  # fmt: skip
        """A header row and typed cells; `formula` gives the formula of a cell that has one."""
        sheet = self.sheet(name)
        sheet.freeze_panes(1, 0)
        for place, field in enumerate(fields):
            sheet.set_column(place, place, _WIDTHS[field.kind])
            sheet.write_string(0, place, field.name, self.head)
        for index, row in enumerate(rows, start=1):
            for place, field in enumerate(fields):
                self._cell(sheet, index, place, field, row[field.name], formula(index, field.name))

    def _cell(
        self, sheet: Worksheet, row: int, place: int, field: Field, cell: str, formula: str
    ) -> None:
        if formula:
            sheet.write_formula(row, place, formula, None, _value(field, cell))
        elif field.kind == "text" or cell == HIDDEN:
            sheet.write_string(row, place, cell[:_LONGEST], self.text) if cell else None
        elif cell:
            sheet.write_number(row, place, float(cell))

    def bytes(self) -> bytes:
        self.book.close()
        return self._out.getvalue()


def _value(field: Field, cell: str) -> Any:
    return cell if field.kind == "text" or not cell else float(cell)
