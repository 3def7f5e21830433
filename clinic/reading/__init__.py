"""Text into values: forms, record files and the API read every cell here, and so agree."""

from clinic.reading.cells import RowReading, cell_warnings, empty_value, read_cell, read_row
from clinic.reading.faults import CellFault, CellWarning
from clinic.reading.words import day_text, shown

__all__ = [
    "CellFault",
    "CellWarning",
    "RowReading",
    "cell_warnings",
    "day_text",
    "empty_value",
    "read_cell",
    "read_row",
    "shown",
]
