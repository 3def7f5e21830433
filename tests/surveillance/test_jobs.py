"""Work is done once, whoever asks or dies; the row is the truth, the message only points at it."""

from datetime import UTC, date, datetime, timedelta
from unittest.mock import patch

import pytest
from django.core.exceptions import PermissionDenied
from django.db import OperationalError

from clinic.actions.audit import host_actor, write_event
from clinic.actions.refusals import Refused
from clinic.celery import app
from clinic.models import AuditEvent, Clinic, Patient, Person
from surveillance import jobs, tasks
from surveillance.models import Computation, Snapshot
from surveillance.snapshots import latest_snapshot

NOW = datetime(2026, 1, 20, 9, 0, tzinfo=UTC)
LONG_AGO = NOW - timedelta(hours=1)


@pytest.fixture(autouse=True)
def _time_stands_still(monkeypatch: pytest.MonkeyPatch) -> None:
    """However long the tests before these took, no lease runs out by itself."""
    monkeypatch.setattr(jobs.timezone, "now", lambda: NOW)


@pytest.fixture
def sent():
    """What is sent: the uids, in place of a broker."""
    with patch.object(tasks.compute, "apply_async") as apply_async:
        yield lambda: [call.kwargs["args"][0] for call in apply_async.call_args_list]


@pytest.fixture
def asked(base_patient: Patient, nurse: Person) -> Computation:
    return jobs.ask(clinic=base_patient.clinic, by=nurse)


def test_asking_says_who_asked_and_for_which_day(asked: Computation, nurse: Person) -> None:
    assert (asked.asked_by, asked.actor) == (nurse, "Nurse Bramble")
    assert (asked.state, asked.as_of, asked.through) == ("waiting", date(2026, 1, 20), "")
    assert AuditEvent.objects.get(verb="ask").thing_uid == asked.uid


def test_asking_sends_once_the_row_is_there(
    base_patient: Patient, nurse: Person, sent, django_capture_on_commit_callbacks
) -> None:
    with django_capture_on_commit_callbacks(execute=True):
        asked = jobs.ask(clinic=base_patient.clinic, by=nurse)
        assert sent() == []
    assert sent() == [str(asked.uid)]


def test_asking_twice_is_one_piece_of_work(asked: Computation, nurse: Person) -> None:
    assert jobs.ask(clinic=asked.clinic, by=nurse).pk == asked.pk
    assert Computation.objects.count() == 1


def test_a_changed_record_is_new_work(asked: Computation, nurse: Person) -> None:
    write_event(clinic=asked.clinic, by=nurse, verb="amend", thing="patients")
    assert jobs.ask(clinic=asked.clinic, by=nurse).pk != asked.pk


def test_a_day_after_today_is_refused(tern_quay: Clinic, nurse: Person) -> None:
    with pytest.raises(Refused, match="after today"):
        jobs.ask(clinic=tern_quay, by=nurse, as_of=date(2026, 2, 1))


# bad_inputs.csv C07
def test_a_broker_that_does_not_answer_loses_nothing(asked: Computation) -> None:
    with patch.object(tasks.compute, "apply_async", side_effect=ConnectionError("no broker")):
        jobs.send(asked.uid)
    asked.refresh_from_db()
    assert (asked.state, asked.sent_at) == ("waiting", None)


def test_running_stores_the_figures(asked: Computation) -> None:
    assert jobs.run(asked.uid)
    asked.refresh_from_db()
    assert (asked.state, asked.progress_percent, asked.lease) == ("done", 100, None)
    assert latest_snapshot(asked.clinic).as_of == asked.as_of


def test_the_same_task_delivered_twice_changes_nothing(asked: Computation) -> None:
    jobs.run(asked.uid)
    before = Snapshot.objects.get().pk
    assert not jobs.run(asked.uid)
    assert Snapshot.objects.get().pk == before


def test_work_held_by_another_worker_is_left_alone(asked: Computation) -> None:
    assert jobs._take(asked.uid, NOW) is not None
    assert not jobs.run(asked.uid)


def test_work_whose_lease_ran_out_is_taken_over(asked: Computation) -> None:
    jobs._take(asked.uid, LONG_AGO)
    assert jobs.run(asked.uid)
    assert Computation.objects.get().tries == 2


def test_a_worker_that_lost_its_lease_stores_nothing(asked: Computation) -> None:
    late = jobs._take(asked.uid, LONG_AGO)
    jobs._take(asked.uid, NOW)
    with pytest.raises(jobs.LeaseLost):
        jobs._compute(late)
    assert not Snapshot.objects.exists()


def test_each_step_renews_the_lease_and_says_how_far(asked: Computation) -> None:
    taken = jobs._take(asked.uid, LONG_AGO)
    jobs._renew(taken, "counting", 30)
    taken.refresh_from_db()
    assert taken.lease_until > NOW
    assert (taken.progress, taken.progress_percent) == ("counting", 30)


def test_who_may_not_compute_may_not_ask(tern_quay: Clinic, auditor: Person) -> None:
    with pytest.raises(PermissionDenied):
        jobs.ask(clinic=tern_quay, by=auditor)


def test_rights_are_looked_at_again_when_the_work_is_done(asked: Computation) -> None:
    # access.csv, rule.jobs
    asked.asked_by.grants.update(last_day=date(2026, 1, 19))
    assert not jobs.run(asked.uid)
    asked.refresh_from_db()
    assert asked.state == "failed"
    assert asked.sentence == "Nurse Bramble may not ask for these figures any more."


def test_a_failure_is_told_without_values(asked: Computation) -> None:
    with (
        patch.object(jobs, "compute_draft", side_effect=ValueError("P031 is wrong")),
        pytest.raises(ValueError),
    ):
        jobs.run(asked.uid)
    asked.refresh_from_db()
    assert asked.state == "failed"
    assert asked.sentence == "Could not be computed (ValueError). Run it again."


def test_a_failure_of_the_database_is_tried_again(asked: Computation) -> None:
    with (
        patch.object(jobs, "compute_draft", side_effect=OperationalError("locked")),
        pytest.raises(OperationalError),
    ):
        jobs.run(asked.uid)
    asked.refresh_from_db()
    assert asked.state == "running"


def test_asking_after_a_failure_runs_it_again(asked: Computation, nurse: Person) -> None:
    Computation.objects.update(state="failed", sentence="Stopped.", tries=5)
    again = jobs.ask(clinic=asked.clinic, by=nurse)
    assert (again.pk, again.state, again.tries) == (asked.pk, "waiting", 0)


def test_asking_runs_again_what_is_not_the_latest(asked: Computation, nurse: Person) -> None:
    jobs.run(asked.uid)
    assert jobs.ask(clinic=asked.clinic, by=nurse).state == "done"
    older = jobs.ask(clinic=asked.clinic, by=nurse, as_of=date(2025, 6, 30))
    jobs.run(older.uid)
    assert jobs.ask(clinic=asked.clinic, by=nurse).state == "waiting"


@pytest.mark.parametrize(
    ("state", "expected"),
    [
        ({"state": "waiting", "sent_at": NOW}, 0),
        ({"state": "waiting", "sent_at": LONG_AGO}, 1),
        ({"state": "waiting", "sent_at": None, "asked_at": LONG_AGO}, 1),
        ({"state": "running", "lease_until": NOW + timedelta(minutes=1)}, 0),
        ({"state": "running", "lease_until": LONG_AGO}, 1),
        ({"state": "done", "sent_at": LONG_AGO}, 0),
    ],
)
def test_the_sweep_sends_what_was_left(asked: Computation, sent, state: dict, expected: int):
    lease = {"lease": asked.uid} if state["state"] == "running" else {}
    Computation.objects.update(**state, **lease)
    assert jobs.sweep() == expected
    assert sent() == [str(asked.uid)] * expected


def test_what_stopped_too_often_fails_in_words(asked: Computation, sent) -> None:
    jobs._take(asked.uid, LONG_AGO)
    Computation.objects.update(tries=jobs.TRIES)
    assert jobs.sweep() == 0
    asked.refresh_from_db()
    assert asked.sentence == f"Stopped {jobs.TRIES} times before it was done. Run it again."


def test_a_night_asks_for_every_clinic_once(
    tern_quay: Clinic, saltmere: Clinic, sent, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert (jobs.ask_nightly(), jobs.ask_nightly()) == (2, 0)
    assert {one.actor for one in Computation.objects.all()} == {"schedule"}
    monkeypatch.setenv("TODAY", "2026-01-21")
    assert jobs.ask_nightly() == 2


def test_the_schedule_names_tasks_that_are_there() -> None:
    scheduled = {entry["task"] for entry in app.conf.beat_schedule.values()}
    assert scheduled == {"surveillance.tasks.sweep", "surveillance.tasks.nightly"}
    assert scheduled <= set(app.tasks)


def test_the_record_may_change_after_asking(asked: Computation) -> None:
    write_event(clinic=asked.clinic, by=host_actor(), verb="amend", thing="patients")
    jobs.run(asked.uid)
    assert latest_snapshot(asked.clinic).data_version == asked.data_version + 1
