"""The made-up record as rows of record files: what import_records is timed with."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Any

from clinic.columns import SUBJECTS
from clinic.demo.record_folder import Cell, Row, Rows
from surveillance.tables import NO_DAY
from tests.bench.made_record import Columns

EPOCH = date(1970, 1, 1)
ANSWERS = {1: "yes", 0: "no", -1: ""}
# Columns of a record file that stand under another name in the plain tables.
_MOMENTS = {
    "presented_at": "presented_on",
    "first_antibiotic_at": "first_antibiotic_on",
    "appropriate_antibiotic_at": "appropriate_antibiotic_on",
    "collected_at": "collected_on",
}
_PARENTS = {
    "patients": "clinics",
    "effluent_samples": "peritonitis",
    "isolates": "effluent_samples",
}
_LINKS = {"patients": "clinic", "effluent_samples": "episode", "isolates": "sample"}


def record_rows(tables: dict[str, Columns]) -> Rows:
    """Rows by subject; each carries the cells that lead to its parent."""
    rows: Rows = {
        "clinics": [
            {"clinic": code, "name": f"Clinic {code}", "time_zone": "UTC"}
            for code in tables["clinics"]["clinic"]
        ]
    }
    for subject in tables:
        if subject != "clinics":
            parents = rows[_PARENTS.get(subject, "patients")]
            link = tables[subject][_LINKS.get(subject, "patient")]
            own = _own_rows(subject, tables[subject])
            rows[subject] = [parents[int(at)] | row for at, row in zip(link, own, strict=True)]
    _name_admissions(rows, tables)
    # Chance may begin two pauses of one patient on one day; a record file holds one row each.
    pauses = {(row["clinic"], row["patient"], row["started_on"]): row for row in rows["pd_pauses"]}
    return rows | {"pd_pauses": list(pauses.values())}


def _own_rows(subject: str, columns: Columns) -> list[Row]:
    cells: dict[str, list[Cell]] = {}
    for column in SUBJECTS[subject]:
        source = _MOMENTS.get(column.name, column.name)
        if source in columns and (subject, column.name) != ("admissions", "episode"):
            cells[column.name] = [_cell(column.kind, value) for value in columns[source]]
    if subject == "patients":
        cells["patient"] = list(columns["patient"])
    size = len(next(iter(columns.values())))
    return [{name: values[at] for name, values in cells.items()} for at in range(size)]


def _cell(kind: str, value: Any) -> Cell:
    if kind == "yes_no":
        return ANSWERS[int(value)]
    if kind not in ("day", "moment"):
        missing = value != value  # an empty cell of a choice column
        return value if isinstance(value, str) else None if missing else int(value)
    if value == NO_DAY:
        return None
    day = EPOCH + timedelta(days=int(value))
    return datetime(day.year, day.month, day.day, 10) if kind == "moment" else day  # noqa: DTZ001


def _name_admissions(rows: Rows, tables: dict[str, Columns]) -> None:
    for row, at in zip(rows["admissions"], tables["admissions"]["episode"], strict=True):
        row["episode"] = rows["peritonitis"][int(at)]["episode"]
