"""The first administrator is made once, on the host, with nothing else around."""

import pytest
from django.core.management import CommandError, call_command

from clinic.models import AuditEvent, Person
from clinic.roles import can
from tests.factories import make_person

COMMAND = "clinic.management.commands.first_administrator"


def test_the_account_may_run_accounts_and_see_no_patient(db, capsys, monkeypatch):
    monkeypatch.delenv("TODAY")
    call_command("first_administrator", "fennel", "--name", "Administrator Fennel", "--generate")
    person = Person.objects.get()
    password = capsys.readouterr().out.rsplit(": ", 1)[1].strip()
    assert person.check_password(password) and person.name == "Administrator Fennel"
    assert can(person, "user.list") and not can(person, "patient.list")
    assert [event.actor[:4] for event in AuditEvent.objects.all()] == ["host", "host"]


def test_a_second_one_is_refused(administrator):
    with pytest.raises(CommandError, match="already") as refused:
        call_command("first_administrator", "other", "--generate")
    assert refused.value.returncode == 1 and Person.objects.count() == 1


def test_a_taken_name_is_refused(db):
    make_person("fennel")
    with pytest.raises(CommandError, match="taken"):
        call_command("first_administrator", "fennel", "--generate")


@pytest.mark.parametrize(
    ("typed", "said"), [(["Teal-Otter-9", "Teal-Otter-8"], "differ"), (["short"] * 2, "short")]
)
def test_a_password_is_typed_twice_and_is_no_weak_one(db, monkeypatch, typed, said):
    answers = iter(typed)
    monkeypatch.setattr(f"{COMMAND}.getpass", lambda _: next(answers))
    with pytest.raises(CommandError, match=said) as refused:
        call_command("first_administrator", "fennel")
    assert refused.value.returncode == 2 and not Person.objects.exists()
