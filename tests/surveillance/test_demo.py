"""The demonstration: built by the ordinary commands, only where no real record is."""

from datetime import date, timedelta
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import call_command

from clinic.clock import today
from clinic.demo.loading import load_days
from clinic.demo.parameters import read_parameters
from clinic.due import due_list, waiting_calls
from clinic.models import AuditEvent, Clinic, Decision, Dissent, Patient, Peritonitis, Person
from clinic.roles import can
from surveillance.models import Snapshot
from surveillance.snapshots.read import table_rows

pytestmark = pytest.mark.django_db

PARAMETERS = Path(__file__).parents[2] / "fixtures" / "demo" / "parameters.toml"
CODES = {"TQ", "SM", "AB", "CM", "FM", "LR"}


@pytest.fixture(scope="module")
def demo(django_db_setup, django_db_blocker, tmp_path_factory):
    """Built once for the tests that read it; taken back afterwards."""
    from django.conf import settings
    from django.db import transaction

    folder = tmp_path_factory.mktemp("demo")
    with pytest.MonkeyPatch.context() as patch, django_db_blocker.unblock():
        patch.setattr(settings, "DATA_DIR", folder)
        patch.setattr(settings, "STATIC_ROOT", folder / "static")
        patch.setenv("DEMO", "0")
        patch.setenv("TODAY", "2026-01-20")
        with transaction.atomic():
            call_command("demo", no_serve=True, stderr=StringIO())
            yield
            transaction.set_rollback(True)


def rate_row(snapshot: Snapshot, quarter: str) -> dict:
    rows = table_rows(snapshot, "measures", quarter)
    return next(r for r in rows if r["measure"] == "peritonitis_rate" and not r["split"])


def latest(code: str) -> Snapshot:
    return Snapshot.objects.filter(clinic__code=code, state="draft").order_by("-id")[0]


def test_it_builds_six_clinics_with_computed_figures(demo: None) -> None:
    computed = Snapshot.objects.filter(state="draft").values_list("clinic__code", flat=True)
    assert set(computed) == CODES


def test_quarters_are_frozen_on_their_own_days_by_two_people(demo: None) -> None:
    frozen = Snapshot.objects.exclude(state="draft")
    told = read_parameters(PARAMETERS).signed
    assert {(one.clinic.code, one.through, one.prepared_at.date()) for one in frozen} == {
        (one.clinic, one.quarter, one.prepared_on) for one in told
    }
    assert {one.state for one in frozen} == {"signed", "prepared"}
    assert all(one.prepared_by != one.signed_by for one in frozen)


def test_each_account_may_do_its_work(demo: None) -> None:
    work = {
        "nurse": "episode.record",
        "director": "quarter.sign_off",
        "auditor": "recount.open",
        "data_manager": "quarter.prepare",
        "administrator": "grant.give_clinic_role",
        "network_officer": "target.amend",
    }
    unable = [
        person.username
        for person in Person.objects.exclude(username="sorrel")
        for grant in person.grants.all()
        if not can(person, work[grant.role])
    ]
    assert unable == []
    assert not can(Person.objects.get(username="sorrel"), "episode.record")  # left in 2024
    roles = {grant.role for person in Person.objects.all() for grant in person.grants.all()}
    assert roles == set(work)


def test_built_twice_it_is_the_same_demonstration(demo: None) -> None:
    before = (Patient.objects.count(), Dissent.objects.count(), Snapshot.objects.count())
    call_command("demo", no_serve=True, stderr=StringIO())
    after = (Patient.objects.count(), Dissent.objects.count(), Snapshot.objects.count())
    assert after == before


def test_today_has_work_and_somebody_waits(demo: None) -> None:
    clinic = Clinic.objects.get(code="TQ")
    due = {line.what for line in due_list(clinic, today(clinic))}
    assert due >= {
        "Culture grew, organism not entered",
        "Day-3 cell count not entered",
        "30-day check: outcome not judged",
    }
    assert len(waiting_calls(clinic)) == 1


def test_a_restatement_is_due_at_copper_mill(demo: None) -> None:
    """Four episodes of 2025-Q2 were entered 25 to 60 days late, after the quarter was signed."""
    signed = Snapshot.objects.get(clinic__code="CM", through="2025-Q2", state="signed")
    then, now = rate_row(signed, "2025-Q2"), rate_row(latest("CM"), "2025-Q2")
    assert now["numerator"] - then["numerator"] >= 4
    late = [
        episode
        for episode in Peritonitis.objects.filter(
            patient__clinic__code="CM", found_by="hospital",
            onset_on__range=("2025-04-01", "2025-06-30"),
        )
        if episode.recorded_at > signed.signed_at
    ]  # fmt: skip
    days = [(episode.recorded_at.date() - episode.onset_on).days for episode in late]
    assert len(late) >= 4
    assert all(25 <= own <= 60 for own in days)


def test_fennimoor_counts_neither_the_double_entry_nor_the_relapse(demo: None) -> None:
    cases = {
        row["onset_on"]: row
        for row in table_rows(latest("FM"), "cases")
        if row["kind"] == "peritonitis"
    }
    twice = next(one for one in _scripted("FM") if one.entered_twice)
    first = twice.onset_on
    assert cases[first.isoformat()]["counts"] == "yes"
    again = cases[(first + timedelta(days=1)).isoformat()]
    assert again["reason"] == "not_counted_same_episode"
    dissent = Dissent.objects.get()
    relapse = cases[dissent.episode.onset_on.isoformat()]
    assert (dissent.category, relapse["reason"]) == ("new", "not_counted_relapse")


def _scripted(code: str) -> tuple:
    numbers = read_parameters(PARAMETERS)
    return next(clinic.scripted for clinic in numbers.clinics if clinic.code == code)


def test_the_audit_trail_tells_when_rows_came_in(demo: None) -> None:
    loads = AuditEvent.objects.filter(chain__clinic__code="CM", verb="load").order_by("number")
    days = [event.at.date() for event in loads]
    assert days == load_days(read_parameters(PARAMETERS))
    assert days[0] < date(2024, 12, 31) < days[-1] == date(2026, 1, 20)


def test_decisions_stand_on_their_days_and_one_review_is_due(demo: None) -> None:
    made = {decision.clinic.code: decision for decision in Decision.objects.all()}
    assert {code: one.at.date() for code, one in made.items()} == {
        told.clinic: told.decided_on for told in read_parameters(PARAMETERS).decisions
    }
    assert made["TQ"].review_on < date(2026, 1, 20)


def test_no_action_stays_open_for_months(demo: None) -> None:
    lines = [line for clinic in Clinic.objects.all() for line in due_list(clinic, today(clinic))]
    actions = [line for line in lines if line.what == "Action of the root-cause review"]
    assert actions
    assert max(line.days_over(date(2026, 1, 20)) for line in actions) <= 60
