"""The ordinary commands on a fresh database: one clinic's whole way, and a country's computing."""

from __future__ import annotations

import os
import time
from pathlib import Path
from resource import RUSAGE_CHILDREN, getrusage

import django
from django.core.management import call_command

from tests.bench.made_record import made_tables
from tests.bench.scale import AS_OF
from tests.bench.stages import Figures, Stages, peak_mib


def commands_of_one_clinic(patients: int) -> Figures:
    """242 patients are what 60 places take in ten years: the first ones and who follows them."""
    folder, rows = _folder(patients, 1)
    steps = {
        "import_records": ("import_records", str(folder)),
        "import_records, the same folder again": ("import_records", str(folder)),
        "compute_measures": ("compute_measures", "--as-of", AS_OF.isoformat()),
        "export_measures": (
            "export_measures", "--format", "csv", "--clinic", "C0000",
            "--output", str(folder.parent / "measures.csv"),
        ),
    }  # fmt: skip
    stages = Stages()
    for name, call in steps.items():
        with stages.stage(name):
            call_command(*call)
    return stages.figures() | {"rows": sum(map(len, rows.values())), "patients": patients}


def commands_of_a_country(patients: int) -> Figures:
    """300 clinics' records loaded and every figure computed by two processes.

    CPU seconds are of this process and its two; wall seconds stand beside them.
    """
    folder, rows = _folder(patients, 300)
    seconds, peak = {}, {}
    steps = {
        "import_records": ("import_records", str(folder)),
        "compute_measures, two processes": (
            "compute_measures", "--as-of", AS_OF.isoformat(), "--processes", "2",
        ),
    }  # fmt: skip
    for name, call in steps.items():
        start, begun = time.monotonic(), _processor_seconds()
        call_command(*call)
        what = f"{name} (wall {time.monotonic() - start:.0f} s)"
        seconds[what] = _processor_seconds() - begun
        peak[what] = max(peak_mib(), getrusage(RUSAGE_CHILDREN).ru_maxrss / 1024)
    return {
        "seconds": seconds, "peak_mib": peak, "rows": sum(map(len, rows.values())),
        "patients": patients,
    }  # fmt: skip


def _processor_seconds() -> float:
    used = os.times()
    return used.user + used.system + used.children_user + used.children_system


def _folder(patients: int, clinics: int) -> tuple[Path, dict[str, list[dict[str, object]]]]:
    django.setup()
    from clinic.demo.record_folder import write_record_folder
    from tests.bench.record_rows import record_rows

    folder = Path(os.environ["DATA_DIR"]) / "records"
    rows = record_rows(made_tables(patients, clinics))
    write_record_folder(folder, rows)
    call_command("migrate", verbosity=0)
    return folder, rows
