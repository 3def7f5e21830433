"""Memory of the report's writers: a long line list, and the reports of many clinics."""

from __future__ import annotations

import os
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from resource import RUSAGE_CHILDREN, getrusage

import django
from django.core.management import call_command

from tests.bench.scale import AS_OF
from tests.bench.stages import Figures, Stages, peak_mib

PATIENTS_A_CLINIC = 60


def _lines(many: int) -> Iterator[dict[str, str]]:
    """Rows made one by one: none is kept."""
    from reports.rate_report.parts.line_list import FIELDS

    sample = {one.name: {"text": "not_counted_relapse", "whole": "17"}.get(one.kind, "0.25")
              for one in FIELDS}  # fmt: skip
    for index in range(many):
        yield sample | {"patient": f"P{index:07d}"}


def line_list_csv(many: int) -> Figures:
    django.setup()
    from reports.rate_report.parts.line_list import FIELDS
    from reports.writers.csv import RFC_4180, csv_lines

    stages = Stages()
    with tempfile.TemporaryFile() as out, stages.stage("written to a file"):
        for line in csv_lines([one.name for one in FIELDS], _lines(many), RFC_4180):
            out.write(line)
    return stages.figures() | {"rows": many, "patients": many}


def line_list_xlsx(many: int) -> Figures:
    """The sheet goes to temporary files row by row; the packed workbook alone is held."""
    django.setup()
    from reports.rate_report.parts.line_list import FIELDS
    from reports.writers.xlsx import Workbook

    stages = Stages()
    with stages.stage("written and packed"):
        book = Workbook("bench")
        book.table("line_list", FIELDS, _lines(many))
        size = len(book.bytes())
    return stages.figures() | {"rows": many, "patients": many, "bytes": size}


def network_reports(clinics: int) -> Figures:
    """A ZIP for each clinic by two processes; the peak is that of the largest process."""
    from tests.bench.commands import _folder, _processor_seconds

    _folder_of, rows = _folder(clinics * PATIENTS_A_CLINIC, clinics)
    call_command("import_records", str(_folder_of))
    from clinic.models import Clinic

    Clinic.objects.update(network="Bench")
    call_command("compute_measures", "--as-of", AS_OF.isoformat(), "--processes", "2")
    before = getrusage(RUSAGE_CHILDREN).ru_maxrss / 1024
    out = Path(os.environ["DATA_DIR"]) / "out"
    start, begun = time.monotonic(), _processor_seconds()
    call_command(
        "rate_report", "--network", "Bench", "--period", "2023-Q4", "--format", "zip",
        "--output", str(out), "--processes", "2",
    )  # fmt: skip
    what = f"{len(list(out.iterdir()))} reports (wall {time.monotonic() - start:.0f} s)"
    peak = max(getrusage(RUSAGE_CHILDREN).ru_maxrss / 1024, before)
    return {
        "seconds": {what: _processor_seconds() - begun, "before (not counted)": 0.0},
        "peak_mib": {what: peak, "before (not counted)": max(before, peak_mib())},
        "rows": sum(map(len, rows.values())), "patients": clinics * PATIENTS_A_CLINIC,
    }  # fmt: skip


CASES: dict[str, Callable[[int], Figures]] = {
    "reports csv": line_list_csv,
    "reports xlsx": line_list_xlsx,
    "reports network": network_reports,
}
