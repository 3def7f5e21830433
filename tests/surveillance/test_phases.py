"""Phases: agreed by a director with a reason, told to the audit trail, followed by the signals."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied
from django.core.management import call_command
from django.db import IntegrityError, transaction

from clinic.actions.refusals import Refused
from clinic.models import AuditEvent, Clinic, Patient, Person
from surveillance.models import BaselinePhase
from surveillance.phases import agree_phase, phases_of, standing_phases, withdraw_phase
from surveillance.signals.phases import Phase
from surveillance.snapshots import latest_snapshot, table_rows
from tests import factories
from tests.surveillance.records import day

WHY = "Agreed at the January meeting"


@pytest.fixture
def hazel(tern_quay: Clinic) -> Person:
    person = factories.make_person("hazel")
    factories.make_grant(person, "director", tern_quay)
    return person


def agree(clinic: Clinic, by: Person, first_day: str = "2025-01-01", rate: float | None = 0.3):
    return agree_phase(
        clinic=clinic, by=by, first_day=date.fromisoformat(first_day), baseline_rate=rate,
        reason=WHY,
    )  # fmt: skip


def test_a_director_agrees_on_a_baseline_with_an_event(tern_quay: Clinic, hazel: Person) -> None:
    made = agree(tern_quay, hazel)
    event = AuditEvent.objects.get(thing_uid=made.uid)
    assert (event.verb, event.thing, event.reason, event.by) == (
        "agree",
        "baseline_phase",
        WHY,
        hazel,
    )
    assert event.changes == {"first_day": [None, "2025-01-01"], "baseline_rate": [None, 0.3]}
    assert phases_of([tern_quay]) == {"TQ": [Phase(day("2025-01-01"), 0.3)]}


def test_the_same_day_again_replaces_and_nothing_is_lost(tern_quay: Clinic, hazel: Person) -> None:
    first, second = agree(tern_quay, hazel), agree(tern_quay, hazel, rate=None)
    assert list(standing_phases(tern_quay)) == [second]
    first.refresh_from_db()
    assert (first.withdrawn_by, first.withdrawn_reason) == (hazel, WHY)
    event = AuditEvent.objects.get(thing_uid=second.uid)
    assert event.changes["baseline_rate"] == [0.3, None]


def test_a_phase_is_withdrawn_once(tern_quay: Clinic, hazel: Person) -> None:
    phase = withdraw_phase(phase=agree(tern_quay, hazel), by=hazel, reason=WHY)
    assert phases_of([tern_quay]) == {}
    assert AuditEvent.objects.filter(thing_uid=phase.uid, verb="withdraw").count() == 1
    with pytest.raises(Refused, match="withdrawn already"):
        withdraw_phase(phase=phase, by=hazel, reason=WHY)


@pytest.mark.parametrize("role", ["nurse", "data_manager"])
def test_nobody_but_a_director_agrees(tern_quay: Clinic, role: str) -> None:
    person = factories.make_person("other")
    factories.make_grant(person, role, tern_quay)
    with pytest.raises(PermissionDenied):
        agree(tern_quay, person)
    assert not BaselinePhase.objects.exists()


def test_a_director_of_another_clinic_does_not(tern_quay: Clinic, saltmere: Clinic, hazel) -> None:
    with pytest.raises(PermissionDenied):
        agree(saltmere, hazel)


@pytest.mark.parametrize(
    ("first_day", "rate", "says"),
    [
        ("2999-01-01", 0.3, "after today"),
        ("2025-01-01", 0.0, "above 0"),
        ("2025-01-01", 40.0, "at most 10"),
        ("2025-01-01", float("nan"), "above 0"),
        ("2025-01-01", float("inf"), "above 0"),
    ],
)
def test_what_cannot_be_is_refused(tern_quay, hazel, first_day: str, rate: float, says: str):
    with pytest.raises(Refused, match=says):
        agree(tern_quay, hazel, first_day, rate)


def test_a_reason_is_asked(tern_quay: Clinic, hazel: Person) -> None:
    with pytest.raises(Refused, match="Say why"):
        agree_phase(
            clinic=tern_quay, by=hazel, first_day=date(2025, 1, 1), baseline_rate=0.3, reason=" "
        )


@pytest.mark.parametrize(
    "fields", [{"baseline_rate": -1.0}, {"reason": ""}, {"withdrawn_reason": "alone"}]
)
def test_the_database_refuses_half_a_phase(tern_quay: Clinic, hazel: Person, fields: dict) -> None:
    given = {"clinic": tern_quay, "by": hazel, "first_day": date(2025, 1, 1), "reason": WHY}
    with pytest.raises(IntegrityError), transaction.atomic():
        BaselinePhase.objects.create(**given | fields)


def test_the_signals_follow_the_phase(base_patient: Patient, hazel: Person) -> None:
    call_command("compute_measures", as_of="2025-12-31")
    before = latest_snapshot(base_patient.clinic)
    agree(base_patient.clinic, hazel, "2025-07-07", 0.25)
    call_command("compute_measures", as_of="2025-12-31")
    after = latest_snapshot(base_patient.clinic)
    assert after.data_version == before.data_version + 1
    weekly = {
        row["window_end"]: row
        for row in table_rows(after, "signals") if row["rule"] == "peritonitis_cusum"
    }  # fmt: skip
    assert "agreed baseline of 0.25" in weekly["2025-07-13"]["sentence"]
    assert "target of 0.40" in weekly["2025-07-06"]["sentence"]
