"""Work handed to workers gives the same bytes, and says so when no worker does it."""

import json
from uuid import UUID

import pytest
from django.core.management import CommandError, call_command
from django.db import transaction

from clinic.models import Clinic, Patient
from surveillance import jobs, tasks, worker_shards
from surveillance.models import Computation, SnapshotTable


@pytest.fixture
def worker(monkeypatch: pytest.MonkeyPatch) -> None:
    """A worker that does what is sent at once, and transactions that end at once."""
    monkeypatch.setattr(tasks.compute, "apply_async", lambda args, retry: tasks.compute(*args))
    monkeypatch.setattr(transaction, "on_commit", lambda work: work())


def stored_by(capsys: pytest.CaptureFixture[str], **options: object) -> tuple[object, object]:
    """What the command says and every stored byte; then nothing has been."""
    with transaction.atomic():
        call_command("compute_measures", json=True, **options)
        said = json.loads(capsys.readouterr().out)["computed"]
        columns = ("table", "period", "sha256", "content")
        content = [list(row) for row in SnapshotTable.objects.order_by("id").values_list(*columns)]
        transaction.set_rollback(True)
    return [{key: row[key] for key in row if key != "snapshot"} for row in said], content


@pytest.mark.parametrize("options", [{}, {"through": "2025-Q3"}, {"rule_set": "rule_2016"}])
def test_workers_store_the_same_bytes_as_this_process(
    base_patient: Patient, saltmere: Clinic, worker: None, capsys, options: dict[str, str]
) -> None:
    said, content = stored_by(capsys, **options)
    assert stored_by(capsys, workers=True, **options) == (said, content)
    assert len(said) == 2
    assert content


def test_work_that_nobody_takes_is_told_and_stays_asked(
    base_patient: Patient, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(worker_shards, "PATIENCE_SECONDS", 0)
    monkeypatch.setattr(worker_shards, "LOOK_EVERY_SECONDS", 0.01)
    with pytest.raises(CommandError, match="is one running") as error:
        call_command("compute_measures", workers=True)
    assert error.value.returncode == 3
    assert [one.state for one in Computation.objects.all()] == ["waiting"]


def test_a_worker_that_fails_is_told_with_its_clinic(
    base_patient: Patient, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(uid: UUID) -> None:
        Computation.objects.filter(uid=uid).update(state="failed", sentence="Stopped 3 times.")

    monkeypatch.setattr(transaction, "on_commit", lambda work: work())
    monkeypatch.setattr(jobs, "send", fail)
    with pytest.raises(CommandError, match=r"TQ: Stopped 3 times\. Nothing") as error:
        call_command("compute_measures", workers=True)
    assert error.value.returncode == 3
