"""Kill -9 in the middle of an import: nothing of the folder is stored, the next run completes."""

from collections.abc import Iterator
from pathlib import Path
from random import Random

import pytest

from tests.faults.house import House, kill, opened, postgres_database, wait_until
from tests.recount.random_clinics import build_record
from tests.recount.record_files import write_folder

CLINICS = 12
COUNTED = ("clinic_clinic", "clinic_patient", "clinic_peritonitis", "clinic_auditevent")
# Slows the load at the moment its first clinic is written, so that the kill comes in the middle.
SLOW_IMPORT = """
import sys, time
from pathlib import Path
import django
django.setup()
from django.core.management import call_command
from clinic.imports import load
plain = load.load_batch
def slow(*arguments):
    touched = plain(*arguments)
    Path(sys.argv[1]).touch()
    time.sleep(2)
    return touched
load.load_batch = slow
call_command("import_records", sys.argv[2])
"""


@pytest.fixture(params=["sqlite", "postgresql"])
def house(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[House]:
    if request.param == "sqlite":
        with opened(House(tmp_path)) as ours:
            yield ours
    else:
        url = request.getfixturevalue("postgres_url")
        with postgres_database(url, "kill_import") as own, opened(House(tmp_path, own)) as ours:
            yield ours


def counts(house: House) -> list[int]:
    return [house.query(f"SELECT count(*) FROM {table}")[0][0] for table in COUNTED]


def test_a_killed_import_leaves_nothing_and_the_next_one_completes(house: House) -> None:
    folder, written = house.folder / "record", house.folder / "written"
    folder.mkdir()
    rows = build_record(Random(7), CLINICS)
    write_folder(rows, folder)
    importing = house.start("-c", SLOW_IMPORT, str(written), str(folder))
    wait_until(written.exists)
    kill(importing)
    assert counts(house) == [0, 0, 0, 0]
    house.manage("import_records", str(folder))
    expected = [len(rows[name]) for name in ("clinics", "patients", "peritonitis")]
    assert counts(house) == [*expected, len(rows["clinics"])]
    assert "nothing new" in house.manage("import_records", str(folder))
