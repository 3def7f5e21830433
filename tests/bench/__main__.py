"""Times import and method at two sizes and prints a table for DEVELOPERS.md; figures, not gates.

Each case runs in a process of its own, so that its peak memory is its own. Seconds depend on the
machine: the last column divides by a yardstick (a sort of five million numbers) of the same run.

    python -m tests.bench
"""

from __future__ import annotations

import json
import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

AS_OF = "2024-12-31"
PLACES = 60
MANY_PATIENTS, MANY_CLINICS = 100_000, 300

Timed = dict[str, Any]


def timed(work: Callable[[], Any]) -> tuple[float, Any]:
    start = time.perf_counter()
    made = work()
    return time.perf_counter() - start, made


def yardstick() -> Timed:
    import numpy as np

    numbers = np.random.default_rng(1).integers(0, 2**40, 5_000_000)
    return {
        "what": "yardstick: sort 5,000,000 numbers",
        "seconds": timed(lambda: np.sort(numbers))[0],
    }


def method_of_one_clinic() -> Timed:
    return _method("method, 60 places, 10 years, 1 clinic", _patients_of_one(), 1)


def method_of_many_clinics() -> Timed:
    name = f"method, {MANY_PATIENTS:,} patients, {MANY_CLINICS} clinics"
    return _method(name, MANY_PATIENTS, MANY_CLINICS)


def _patients_of_one() -> int:
    from tests.bench.made_record import patients_for

    return patients_for(PLACES)


def _method(what: str, patients: int, clinics: int) -> Timed:
    from datetime import date

    import pandas as pd

    from surveillance.measures.compute import compute
    from surveillance.rules import RULE_SETS
    from tests.bench.made_record import made_record

    catalogue = pd.read_csv("fixtures/organisms.csv", dtype=str, keep_default_na=False)
    record = made_record(patients, clinics)
    rule_set, as_of = RULE_SETS["rule_2022"], date.fromisoformat(AS_OF)
    seconds, result = timed(lambda: compute(record, catalogue, rule_set, as_of))
    return {"what": what, "seconds": seconds, "rows": len(result.measures)}


def commands_of_one_clinic() -> list[Timed]:
    """The ordinary commands on a fresh SQLite file: load, load again, compute, export."""
    import django
    from django.core.management import call_command

    django.setup()
    from clinic.demo.record_folder import write_record_folder
    from tests.bench.made_record import made_tables
    from tests.bench.record_rows import record_rows

    folder = Path(os.environ["DATA_DIR"]) / "records"
    rows = record_rows(made_tables(_patients_of_one(), 1))
    write_record_folder(folder, rows)
    call_command("migrate", verbosity=0)
    count = sum(len(made) for made in rows.values())
    steps = {
        "import_records, the same clinic": ("import_records", str(folder)),
        "import_records, the same folder again": ("import_records", str(folder)),
        "compute_measures, the same clinic": ("compute_measures", "--as-of", AS_OF),
        "export_measures, the same clinic": (
            "export_measures", "--format", "csv", "--clinic", "C000",
            "--output", str(folder.parent / "measures.csv"),
        ),
    }  # fmt: skip
    return [
        {"what": what, "seconds": timed(lambda call=call: call_command(*call))[0], "rows": count}
        for what, call in steps.items()
    ]


CASES: dict[str, Callable[[], Timed | list[Timed]]] = {
    "yardstick": yardstick,
    "method_one": method_of_one_clinic,
    "commands_one": commands_of_one_clinic,
    "method_many": method_of_many_clinics,
}


def run_case(name: str) -> None:
    found = CASES[name]()
    peak_mib = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    rows = found if isinstance(found, list) else [found]
    print(json.dumps([row | {"peak_mib": peak_mib} for row in rows]))


def in_own_process(name: str) -> list[Timed]:
    with tempfile.TemporaryDirectory() as data_dir:
        done = subprocess.run(
            [sys.executable, "-m", "tests.bench", name],
            env=os.environ | {"DATA_DIR": data_dir, "DJANGO_SETTINGS_MODULE": "clinic.settings"},
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,  # progress and warnings
            check=True,
        )
    rows: list[Timed] = json.loads(done.stdout.decode().splitlines()[-1])
    return rows


def main() -> None:
    print("| what | rows | seconds | peak MiB | yardsticks |\n|---|--:|--:|--:|--:|")
    unit = 0.0
    for name in CASES:
        for row in in_own_process(name):
            unit = unit or row["seconds"]
            print(
                f"| {row['what']} | {row.get('rows', '')} | {row['seconds']:.2f} "
                f"| {row['peak_mib']:.0f} | {row['seconds'] / unit:.1f} |",
                flush=True,
            )


if __name__ == "__main__":
    run_case(sys.argv[1]) if len(sys.argv) > 1 else main()
