"""The demonstration: built by the ordinary commands, only where no real record is."""

from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from clinic.models import AuditEvent, Clinic, Patient, Person
from clinic.roles import can
from surveillance.models import Snapshot
from tests.factories import make_clinic

pytestmark = pytest.mark.django_db


@pytest.fixture
def demo(settings, tmp_path, monkeypatch) -> None:
    settings.DATA_DIR, settings.STATIC_ROOT = tmp_path, tmp_path / "static"
    monkeypatch.setenv("DEMO", "0")
    call_command("demo", no_serve=True, stderr=StringIO())


def test_it_builds_two_clinics_with_computed_figures(demo: None) -> None:
    computed = Snapshot.objects.filter(state="draft").values_list("clinic__code", flat=True)
    assert set(computed) == {"TQ", "SM"}


def test_one_quarter_is_signed_by_another_than_prepared_it(demo: None) -> None:
    signed = Snapshot.objects.get(state="signed")
    assert (signed.clinic.code, signed.through) == ("TQ", "2025-Q3")
    assert signed.prepared_by != signed.signed_by


def test_each_account_may_do_its_work(demo: None) -> None:
    work = {
        "bramble": "episode.record",
        "hazel": "quarter.sign_off",
        "rowan": "recount.open",
        "teasel": "quarter.prepare",
        "fennel": "grant.give_clinic_role",
        "sedge": "quarter.sign_off",
    }
    people = {person.username: person for person in Person.objects.all()}
    assert {name for name, capability in work.items() if can(people[name], capability)} == set(work)
    assert set(people) == set(work)


def test_built_twice_it_is_the_same_demonstration(demo: None) -> None:
    before = (Patient.objects.count(), AuditEvent.objects.count(), Snapshot.objects.count())
    call_command("demo", no_serve=True, stderr=StringIO())
    after = (Patient.objects.count(), AuditEvent.objects.count(), Snapshot.objects.count())
    assert after[0] == before[0]
    assert after[2] == before[2]


def test_it_never_goes_into_a_real_record(settings, tmp_path) -> None:
    settings.DATA_DIR, settings.STATIC_ROOT = tmp_path, tmp_path / "static"
    make_clinic("XX", name="A real clinic")
    with pytest.raises(CommandError, match="holds a real record") as refused:
        call_command("demo", no_serve=True, stderr=StringIO())
    assert refused.value.returncode == 2
    assert list(Clinic.objects.values_list("code", flat=True)) == ["XX"]
