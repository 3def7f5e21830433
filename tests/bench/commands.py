"""The ordinary commands on a fresh SQLite file: load, load again, compute, export."""

from __future__ import annotations

import os
from pathlib import Path

import django
from django.core.management import call_command

from tests.bench.made_record import made_tables
from tests.bench.scale import AS_OF
from tests.bench.stages import Figures, Stages


def commands_of_one_clinic(patients: int) -> Figures:
    """242 patients are what 60 places take in ten years: the first ones and who follows them."""
    django.setup()
    from clinic.demo.record_folder import write_record_folder
    from tests.bench.record_rows import record_rows

    folder = Path(os.environ["DATA_DIR"]) / "records"
    rows = record_rows(made_tables(patients, 1))
    write_record_folder(folder, rows)
    call_command("migrate", verbosity=0)
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
