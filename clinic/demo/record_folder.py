"""Writes made-up rows as a folder of record files, in the form that import_records reads."""

from __future__ import annotations

import csv
from datetime import date, datetime
from pathlib import Path

from clinic.columns import SUBJECTS, file_columns

Cell = str | int | float | date | datetime | None
Row = dict[str, Cell]
Rows = dict[str, list[Row]]  # by subject, as in SUBJECTS


def cell_text(value: Cell) -> str:
    if value is None:
        return ""
    if isinstance(value, datetime):
        return value.isoformat(timespec="minutes")
    return value.isoformat() if isinstance(value, date) else str(value)


def write_record_folder(folder: Path, rows: Rows) -> None:
    """One file a subject that has rows; every column of the subject stands in its header."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, subject_rows in rows.items():
        columns = file_columns(SUBJECTS[name])
        path = folder / SUBJECTS[name].file_name
        with path.open("w", encoding="utf-8", newline="") as file:
            writer = csv.writer(file, lineterminator="\n")
            writer.writerow(columns)
            writer.writerows(
                [cell_text(row.get(column)) for column in columns] for row in subject_rows
            )
