"""Kill -9 in the middle of computing: nothing is half-written, and the next run completes.

Both set-ups are real: files and SQLite as on a bare machine, Redis and PostgreSQL as grown up.
"""

from pathlib import Path
from random import Random

import pytest

from tests.faults.house import House, kill, opened, wait_until
from tests.recount.random_clinics import build_record
from tests.recount.record_files import write_folder

CLINICS = 12
EXPORTS = [
    f"'export_measures', table={table!r}" for table in ("measures", "cases", "days", "ledger")
]
ASK_ALL = """
from clinic.actions.audit import host_actor
from surveillance import jobs
from clinic.shards import standing_clinics
for clinic in standing_clinics():
    jobs.ask(clinic=clinic, by=host_actor())
"""
LEASES_RUN_OUT = """
from datetime import timedelta
from django.utils import timezone
from surveillance import jobs
from surveillance.models import Computation
past = timezone.now() - 2 * jobs.LEASE
Computation.objects.filter(state="running").update(lease_until=past)
Computation.objects.filter(state="waiting").update(sent_at=past)
print(jobs.sweep())
"""
WHOLE = """
from surveillance.models import Snapshot
from surveillance.snapshots.store import digest_of
from surveillance.snapshots.cut import CutTable
from surveillance.snapshots.read import stored_bytes
for snapshot in Snapshot.objects.all():
    tables = [CutTable(one.table, one.period, one.rows, stored_bytes(one))
              for one in snapshot.tables.all()]
    assert digest_of(tables) == snapshot.digest, snapshot
print(Snapshot.objects.count())
"""


@pytest.fixture(scope="module")
def record_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("record")
    write_folder(build_record(Random(7), CLINICS), folder)
    return folder


@pytest.fixture(scope="module")
def clean(record_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> str:
    """What a computation that nobody disturbed exports."""
    with opened(House(tmp_path_factory.mktemp("clean"))) as house:
        return house.commands(_load(record_folder), "'compute_measures'", *EXPORTS)


def _load(folder: Path) -> str:
    return f"'import_records', {str(folder)!r}, stdout=open('/dev/null', 'w')"


@pytest.fixture
def house(any_house: House, record_folder: Path) -> House:
    any_house.commands(_load(record_folder))
    return any_house


def snapshots(house: House) -> int:
    return house.query("SELECT count(*) FROM surveillance_snapshot")[0][0]


def test_a_killed_command_leaves_whole_clinics_and_is_run_again(house: House, clean: str) -> None:
    process = house.start("manage.py", "compute_measures")
    wait_until(lambda: snapshots(house) >= 2, every_seconds=0.01)
    kill(process)
    assert 2 <= int(house.python(WHOLE)) < CLINICS
    assert house.commands("'compute_measures'", *EXPORTS) == clean


def test_a_killed_worker_leaves_nothing_half_and_another_completes(
    house: House, clean: str
) -> None:
    house.python(ASK_ALL)
    worker = house.start_worker()
    wait_until(lambda: house.states().count("done") >= 2, every_seconds=0.01)
    wait_until(lambda: "running" in house.states(), every_seconds=0.001)
    kill(worker)
    assert house.states().count("done") == int(house.python(WHOLE)) < CLINICS
    assert int(house.python(LEASES_RUN_OUT)) >= 1
    house.start_worker()
    wait_until(lambda: house.states() == ["done"] * CLINICS)
    assert clean.endswith(house.commands(*EXPORTS))


def test_workers_give_the_same(house: House, clean: str) -> None:
    house.start_worker()
    done = house.manage("compute_measures", "--workers")
    assert done + house.commands(*EXPORTS) == clean


def test_several_processes_give_the_same(
    embedded_house: House, record_folder: Path, clean: str
) -> None:
    embedded_house.commands(_load(record_folder))
    done = embedded_house.manage("compute_measures", "--processes", "2")
    assert done + embedded_house.commands(*EXPORTS) == clean
