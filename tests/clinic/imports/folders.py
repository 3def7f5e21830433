"""Writes a record as a folder of CSV and runs import_records on it, as a person would."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from pathlib import Path

from django.core.management import CommandError, call_command

from clinic.models import MODELS, AuditEvent
from tests.clinic.base_record import Record, columns_used


def write_folder(folder: Path, record: Record) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    for name, rows in record.items():
        with (folder / f"{name}.csv").open("w", encoding="utf-8", newline="") as file:
            columns = columns_used(rows)
            writer = csv.writer(file, lineterminator="\n", quoting=csv.QUOTE_ALL)
            writer.writerow(columns)
            writer.writerows([row.get(column, "") for column in columns] for row in rows)
    return folder


@dataclass(frozen=True)
class Run:
    exit_code: int
    out: str
    err: str

    @property
    def faults(self) -> list[str]:
        """One line a fault: what stands on stderr and is no warning."""
        lines = self.err.splitlines()
        return [line for line in lines if not line.startswith(("warning: ", "and "))]

    @property
    def warnings(self) -> list[str]:
        return [line for line in self.err.splitlines() if line.startswith("warning: ")]


def run(folder: Path, *options: str) -> Run:
    out, err = io.StringIO(), io.StringIO()
    try:
        call_command("import_records", str(folder), *options, stdout=out, stderr=err, no_color=True)
        code = 0
    except CommandError as error:
        code = error.returncode
    return Run(code, out.getvalue(), err.getvalue())


def stored_counts() -> dict[str, int]:
    counts = {name: model.objects.count() for name, model in MODELS.items()}
    return {name: count for name, count in counts.items() if count}


def whole_database() -> dict[str, list[dict]]:
    """Every stored value of the record, and how many events tell of it."""
    rows = {name: list(model.objects.order_by("pk").values()) for name, model in MODELS.items()}
    return rows | {"events": list(AuditEvent.objects.order_by("pk").values("digest"))}
