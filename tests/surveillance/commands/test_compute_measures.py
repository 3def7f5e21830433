"""compute_measures: every clinic or one, to a day that was lived, again without harm."""

import json
from datetime import date

import pytest
from django.core.management import CommandError, call_command
from django.db import OperationalError

from clinic.models import AuditEvent, Clinic, Patient
from surveillance import snapshots
from surveillance.models import Snapshot
from surveillance.snapshots import latest_snapshot, periods, table_rows
from tests import factories


def run(capsys: pytest.CaptureFixture[str], **options: object) -> str:
    call_command("compute_measures", **options)
    return capsys.readouterr().out


def test_every_clinic_is_computed(base_patient: Patient, saltmere: Clinic, capsys) -> None:
    assert run(capsys) == "Computed 2 clinic(s) as of 2026-01-20.\n"
    assert {one.clinic.code for one in Snapshot.objects.all()} == {"TQ", "SM"}
    assert {one.state for one in Snapshot.objects.all()} == {"draft"}


def test_one_clinic_alone(base_patient: Patient, saltmere: Clinic, capsys) -> None:
    run(capsys, clinic="TQ")
    assert [one.clinic.code for one in Snapshot.objects.all()] == ["TQ"]


def test_running_it_again_changes_nothing(base_patient: Patient, capsys) -> None:
    first, second = (json.loads(run(capsys, json=True)) for _ in range(2))
    assert first == second
    assert first["computed"][0]["clinic"] == "TQ"
    assert Snapshot.objects.count() == 1


def test_through_ends_the_periods(base_patient: Patient, capsys) -> None:
    run(capsys, through="2025-Q3")
    assert max(periods(latest_snapshot(base_patient.clinic))) == "2025-Q3/4q"
    assert "2025-10" not in periods(latest_snapshot(base_patient.clinic))


def test_an_earlier_day_ends_the_periods_too(base_patient: Patient, capsys) -> None:
    # bad_inputs L12, the control: open spells end with 30 June, 2025-Q3 is not computed.
    run(capsys, as_of="2025-06-30")
    draft = latest_snapshot(base_patient.clinic)
    assert draft.as_of == date(2025, 6, 30)
    assert "2025-Q2" in periods(draft)
    assert "2025-Q3" not in periods(draft)


@pytest.mark.parametrize(
    ("options", "code", "sentence"),
    [
        ({"as_of": "2026-02-01"}, 1, "after today"),  # bad_inputs L12
        ({"as_of": "2025-02-30"}, 2, "is not a day"),
        ({"as_of": "20250630"}, 2, "is not a day"),
        ({"through": "2025-Q5"}, 2, "allowed: 2025-07, 2025-Q3, 2025 or 2025-Q3/4q"),
        ({"through": "2025-13"}, 2, "is not a period"),
        ({"through": "2025Q3"}, 2, "is not a period"),
        ({"through": "2025-Q3/5q"}, 2, "is not a period"),
        ({"clinic": "XX"}, 2, "there is no such clinic"),
    ],
)
def test_a_wrong_call_says_so_and_stores_nothing(
    base_patient: Patient, options: dict, code: int, sentence: str
) -> None:
    with pytest.raises(CommandError, match=sentence) as error:
        call_command("compute_measures", **options)
    assert error.value.returncode == code
    assert not Snapshot.objects.exists()


def test_a_failing_database_is_the_machines_fault(base_patient: Patient, monkeypatch) -> None:
    def fails(**work: object) -> None:
        raise OperationalError("disk I/O error")

    monkeypatch.setattr(snapshots, "compute_draft", fails)
    with pytest.raises(CommandError, match="run it again") as error:
        call_command("compute_measures")
    assert error.value.returncode == 3


def test_nobody_at_risk_is_no_rate(base_patient: Patient, capsys) -> None:
    # bad_inputs L11: everybody paused, one episode.
    factories.make_pause(base_patient, started_on=date(2025, 4, 1), last_day_on=date(2025, 6, 30))
    episode = factories.make_peritonitis(
        base_patient, episode="E2", onset_on=date(2025, 5, 10), therapy_completed_on=None
    )
    factories.make_sample(episode)
    run(capsys)
    draft = latest_snapshot(base_patient.clinic)
    (row,) = [
        row for row in table_rows(draft, "measures", "2025-Q2")
        if (row["measure"], row["split"]) == ("peritonitis_rate", None)
    ]  # fmt: skip
    assert (row["denominator"], row["value"], row["lower"], row["upper"]) == (0, None, None, None)
    assert row["verdict"] == "no_data"
    (case,) = table_rows(draft, "cases", "2025-Q2")
    assert case["reason"] == "not_counted_paused"


def test_the_run_is_in_the_audit_trail(base_patient: Patient, capsys) -> None:
    run(capsys, clinic="TQ")
    event = AuditEvent.objects.get(verb="compute")
    assert event.actor.startswith("host (")
    assert event.changes["clinics"] == [None, 1]
