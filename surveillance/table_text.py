"""The canonical text of a result table: the bytes that are stored, hashed and downloaded."""

from __future__ import annotations

import re
from typing import Any

import numpy as np
import pandas as pd

from surveillance.tables import WRITTEN_TABLES, Column

_NEEDS_QUOTES = re.compile(r'[",\r\n]')


def quoted(cell: str) -> str:
    """The cell as RFC 4180 wants it: in quotes only where it holds one, a comma or a line end.

    Test: tests/surveillance/test_table_text.py.
    """
    return '"' + cell.replace('"', '""') + '"' if _NEEDS_QUOTES.search(cell) else cell


def _texts(column: pd.Series[Any]) -> list[str]:
    """Each category is written once; a missing one is an empty cell."""
    written = np.array([quoted(label) for label in column.cat.categories] + [""], dtype=object)
    cells: list[str] = written[column.cat.codes.to_numpy()].tolist()
    return cells


def _wholes(column: pd.Series[Any]) -> list[str]:
    if column.dtype.kind in "iu":
        return list(map(str, column.tolist()))
    return ["" if value != value else str(int(value)) for value in column.tolist()]


def _numbers(column: pd.Series[Any]) -> list[str]:
    """The shortest text that reads back to the same number."""
    return ["" if value != value else repr(value) for value in column.tolist()]


def _cells(column: Column, values: pd.Series[Any]) -> list[str]:
    if isinstance(values.dtype, pd.CategoricalDtype):
        return _texts(values)
    return _wholes(values) if column.kind == "whole" else _numbers(values)


def table_text(table: str, frame: pd.DataFrame) -> str:
    """A stored table as canonical CSV: header row, commas, \\n line ends, an empty cell = missing.

    table: its name in WRITTEN_TABLES; frame: its rows, in order. Whole numbers plain, other numbers
    unrounded, days ISO. Source: design 3.3 and RFC 4180. Test: test_table_text.py.
    """
    declared = WRITTEN_TABLES[table]
    header = ",".join(column.name for column in declared)
    cells = [_cells(column, frame[column.name]) for column in declared]
    return "\n".join([header, *map(",".join, zip(*cells, strict=True))]) + "\n"
