"""A folder of record files through the ordinary commands, and the exported rows read back."""

import csv
from pathlib import Path

from django.core.management import call_command

Row = dict[str, str]


def computed(folder: Path, as_of: str) -> None:
    call_command("import_records", str(folder))
    call_command("compute_measures", as_of=as_of)


def exported(output: Path, clinic: str, table: str = "measures") -> list[Row]:
    call_command("export_measures", table=table, format="csv", clinic=clinic, output=str(output))
    with output.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def undivided(rows: list[Row], measure: str, period: str) -> Row:
    (found,) = [
        row
        for row in rows
        if (row["measure"], row["period"], row["split"]) == (measure, period, "")
    ]
    return found
