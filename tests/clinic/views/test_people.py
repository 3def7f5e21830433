"""People: rights given and ended by name, as access.csv and its rules say."""

import re
from datetime import timedelta

import pytest
from django.core.exceptions import PermissionDenied
from django.utils import timezone

from clinic.actions.grant_rules import LastAdministrator
from clinic.actions.people import deactivate, end_grant, give_grant
from clinic.actions.refusals import Refused
from clinic.actions.tokens import create_token
from clinic.models import AuditEvent, Grant, OneTimeLink, OpenSession, Person, SecondFactor
from clinic.roles import can
from tests.factories import PASSWORD, make_grant, make_person

REASON = "Asked for by the clinic lead."
NEW = "Otter-Quay-Teal-77"


def _given(administrator, person, role, clinic=None, **fields):
    days = {"first_day": timezone.localdate().replace(2026, 1, 20), "reason": REASON}
    return give_grant(person=person, role=role, clinic=clinic, by=administrator, **days | fields)


def _sent(clinic=None, **fields):
    where = {"clinic": str(clinic.uid)} if clinic else {}
    typed = {"role": "nurse", "first_day": "2026-01-20", "reason": REASON, "password": PASSWORD}
    return typed | where | fields


def test_an_invited_person_sets_a_password_once_and_has_no_access_yet(
    signed_in, client, administrator
):
    sent = {"username": "sorrel", "name": "Nurse Sorrel", "password": PASSWORD}
    page = signed_in(administrator).post("/people/invite/", sent).content.decode()
    address = re.search(r"http://testserver(/welcome/[\w-]+/)", page)[1]
    assert address not in client.get("/people/").content.decode()
    assert OneTimeLink.objects.get().digest not in page
    client.logout()
    typed = {"new_password": NEW, "once_more": NEW}
    assert client.post(address, typed)["Location"] == "/sign-in"
    assert client.get(address).status_code == 404
    client.post("/sign-in", {"username": "sorrel", "password": NEW})
    assert "No access yet" in client.get("/").content.decode()


@pytest.mark.parametrize("name", ["bramble", "BRAMBLE"])
def test_a_sign_in_name_is_given_once(signed_in, administrator, nurse, name):
    sent = {"username": name, "name": "Other", "password": PASSWORD}
    answer = signed_in(administrator).post("/people/invite/", sent)
    assert answer.status_code == 422 and "already" in answer.content.decode()


@pytest.mark.parametrize(
    ("first", "second"),
    [("short", "short"), (NEW, "differs-1-2-3"), ("password123", "password123")],
)
def test_a_weak_or_mistyped_password_is_not_taken(signed_in, client, administrator, first, second):
    sent = {"username": "sorrel", "name": "Sorrel", "password": PASSWORD}
    page = signed_in(administrator).post("/people/invite/", sent).content.decode()
    address = re.search(r"(/welcome/[\w-]+/)", page)[1]
    client.logout()
    answer = client.post(address, {"new_password": first, "once_more": second})
    assert answer.status_code == 422
    assert not Person.objects.get(username="sorrel").has_usable_password()


@pytest.mark.parametrize("state", ["run out", "deactivated", "replaced"])
def test_a_dead_link_is_like_none_at_all(client, signed_in, administrator, nurse, state):
    page = (
        signed_in(administrator)
        .post(f"/people/{nurse.uid}/link/", {"password": PASSWORD})
        .content.decode()
    )
    address = re.search(r"(/welcome/[\w-]+/)", page)[1]
    if state == "run out":
        OneTimeLink.objects.update(ends_at=timezone.now() - timedelta(seconds=1))
    elif state == "deactivated":
        deactivate(person=nurse, by=administrator, reason=REASON)
    else:
        client.post(f"/people/{nurse.uid}/link/", {"password": PASSWORD})
    client.logout()
    nowhere = client.get("/welcome/never-was/")
    assert client.get(address).status_code == 404 == nowhere.status_code


def test_a_used_link_forgets_telephone_sessions_and_tokens(
    client, signed_in, administrator, nurse, tern_quay
):
    SecondFactor.objects.create(person=nurse, secret="A" * 32, confirmed_at=timezone.now())
    signed_in(nurse)
    page = (
        signed_in(administrator)
        .post(f"/people/{nurse.uid}/link/", {"password": PASSWORD})
        .content.decode()
    )
    client.logout()
    address = re.search(r"(/welcome/[\w-]+/)", page)[1]
    client.post(address, {"new_password": NEW, "once_more": NEW})
    nurse.refresh_from_db()
    assert nurse.check_password(NEW) and not SecondFactor.objects.exists()
    assert not OpenSession.objects.filter(person=nurse).exists()


def test_an_administrator_gives_and_ends_a_role(signed_in, administrator, tern_quay):
    person = make_person("sorrel")
    client = signed_in(administrator)
    answer = client.post(f"/people/{person.uid}/grant/", _sent(tern_quay))
    assert answer["Location"] == f"/people/{person.uid}/" and can(
        person, "patient.record", tern_quay
    )
    grant = Grant.objects.get(person=person)
    assert (grant.given_by, grant.reason) == (administrator, REASON)
    client.post(f"/people/grants/{grant.uid}/end/", {"reason": REASON})  # asked a moment ago
    assert not can(person, "patient.record", tern_quay)
    verbs = AuditEvent.objects.filter(thing="grant").order_by("number")
    assert [event.verb for event in verbs] == ["give", "end"]


@pytest.mark.parametrize(
    ("fields", "field"),
    [
        ({"password": "wrong"}, "password"),
        ({"password": ""}, "password"),
        ({"reason": "short"}, "reason"),
        ({"clinic": ""}, "clinic"),
        ({"first_day": ""}, "first_day"),
        ({"last_day": "2026-01-19"}, "last_day"),
        ({"role": "researcher"}, "role"),
        ({"role": "network_officer"}, "network"),
        ({"role": "auditor", "last_day": "2026-02-01"}, "quarters"),
        ({"role": "auditor", "quarters": "2025-Q5", "last_day": "2026-02-01"}, "quarters"),
        ({"role": "auditor", "quarters": "2025-Q1"}, "last_day"),
        ({"role": "auditor", "quarters": "2025-Q1", "last_day": "2026-04-21"}, "last_day"),
    ],
)
def test_what_a_right_lacks_is_said_at_its_field(
    signed_in, administrator, tern_quay, fields, field
):
    person = make_person("sorrel")
    sent = _sent(tern_quay) | fields
    answer = signed_in(administrator).post(f"/people/{person.uid}/grant/", sent)
    assert answer.status_code == 422 and field in answer.context["form"].errors
    assert not person.grants.exists()


@pytest.mark.parametrize("last_day", ["2026-02-19", "2026-04-20"])
def test_an_audit_of_at_most_ninety_days_is_given(signed_in, administrator, tern_quay, last_day):
    """The control: 20 January and 90 days are 20 April 2026."""
    person = make_person("sorrel")
    audit = {"role": "auditor", "quarters": "2025-Q1 2025-Q2", "last_day": last_day}
    signed_in(administrator).post(f"/people/{person.uid}/grant/", _sent(tern_quay) | audit)
    assert person.grants.get().quarters == ["2025-Q1", "2025-Q2"]


def test_nobody_gives_a_right_to_themselves(signed_in, administrator, tern_quay):
    """access.csv, rule.self_grant."""
    with pytest.raises(PermissionDenied):
        _given(administrator, administrator, "nurse", tern_quay)
    answer = signed_in(administrator).post(f"/people/{administrator.uid}/grant/", _sent(tern_quay))
    assert answer.status_code == 403 and administrator.grants.count() == 1


@pytest.mark.parametrize(
    ("held", "given", "allowed"),
    [
        ("nurse", "auditor", False),
        ("director", "auditor", False),
        ("data_manager", "auditor", False),
        ("administrator", "auditor", False),
        ("network_officer", "auditor", True),
        ("auditor", "nurse", False),
        ("auditor", "director", False),
        ("administrator", "director", False),
        ("administrator", "data_manager", False),
        ("administrator", "nurse", True),
        ("director", "administrator", False),
        ("data_manager", "administrator", False),
        ("auditor", "administrator", False),
        ("nurse", "director", True),
        ("director", "data_manager", True),
    ],
)
def test_which_roles_one_person_holds_together(administrator, tern_quay, held, given, allowed):
    """access.csv, rule.combinations."""
    person = make_person("sorrel")
    house = ("administrator", "network_officer")
    make_grant(person, held, None if held in house else tern_quay, network="Estuary & Fells")
    fields = {"quarters": ["2025-Q1"], "last_day": timezone.localdate().replace(2026, 3, 1)}
    more = fields if given == "auditor" else {}
    where = None if given in house else tern_quay
    if allowed:
        assert _given(administrator, person, given, where, **more).pk
    else:
        with pytest.raises(Refused, match="not both"):
            _given(administrator, person, given, where, **more)


def test_apart_in_place_or_time_two_roles_may_be_held(administrator, tern_quay, saltmere):
    person = make_person("sorrel")
    day = timezone.localdate().replace(2026, 1, 1)
    make_grant(person, "nurse", tern_quay, last_day=day)
    fields = {"quarters": ["2025-Q1"], "last_day": day.replace(month=3)}
    assert _given(administrator, person, "auditor", tern_quay, **fields).pk
    make_grant(person, "director", saltmere)
    assert can(person, "quarter.sign_off", saltmere)


def test_the_last_administrator_stays(signed_in, administrator):
    """Bad input S20; access.csv, rule.last_administrator."""
    grant, client = administrator.grants.get(), signed_in(administrator)
    sent = {"reason": REASON, "password": PASSWORD}
    for address in (f"grants/{grant.uid}/end/", f"{administrator.uid}/close/"):
        answer = client.post(f"/people/{address}", sent)
        assert answer.status_code == 409 and "must stay" in answer.content.decode()
    administrator.refresh_from_db()
    assert administrator.is_active and can(administrator, "user.invite")


@pytest.mark.parametrize(
    "state", ["active", "deactivated", "runs out", "not begun", "no password", "no telephone"]
)
def test_only_an_administrator_who_can_sign_in_is_one_too(
    administrator, state, request, monkeypatch
):
    other = make_person("sorrel", is_active=state != "deactivated")
    far = timezone.localdate() + timedelta(days=900)
    days = {"runs out": {"last_day": far}, "not begun": {"first_day": far}}
    make_grant(other, "administrator", **days.get(state, {}))
    if state == "no password":
        other.set_unusable_password()
        other.save()
    if state == "no telephone":
        monkeypatch.setattr("clinic.actions.second_factor.is_off", lambda: False)
        SecondFactor.objects.create(
            person=administrator, secret="A" * 32, confirmed_at=timezone.now()
        )
    grant = administrator.grants.get()
    if state == "active":
        end_grant(grant=grant, by=administrator, reason=REASON)
        assert not can(administrator, "user.invite")
    else:
        with pytest.raises(LastAdministrator):
            end_grant(grant=grant, by=administrator, reason=REASON)
        assert can(administrator, "user.invite")


def test_closing_an_account_ends_sessions_and_tokens_at_once(
    client, signed_in, administrator, nurse, tern_quay
):
    day = timezone.localdate().replace(2026, 3, 1)
    create_token(by=nurse, name="t", role="nurse", clinics=[tern_quay], last_day=day)
    signed_in(nurse)
    cookie = client.cookies["sessionid"].value
    deactivate(person=nurse, by=administrator, reason=REASON)
    client.cookies["sessionid"] = cookie
    assert client.get("/")["Location"] == "/sign-in?next=/"
    assert nurse.tokens.get().revoked_at and not OpenSession.objects.exists()
    assert nurse.grants.exists()  # the trail points at them


def test_a_director_sees_the_own_clinic_and_lets_an_auditor_in(
    signed_in, director, nurse, tern_quay, saltmere
):
    other = make_person("elsewhere", name="Nurse Elsewhere")
    make_grant(other, "nurse", saltmere)
    make_grant(nurse, "nurse", saltmere)
    client = signed_in(director)
    page = client.get("/people/").content.decode()
    assert "Nurse Bramble" in page and "Elsewhere" not in page and "Saltmere" not in page
    assert client.get(f"/people/{other.uid}/").status_code == 404
    assert "Saltmere" not in client.get(f"/people/{nurse.uid}/").content.decode()
    rowan = make_person("rowan")
    audit = {"role": "auditor", "quarters": "2025-Q1", "last_day": "2026-02-01"}
    sent = _sent(tern_quay) | audit | {"username": "Rowan"}
    assert client.post("/people/auditor/", sent)["Location"] == f"/people/{rowan.uid}/"
    assert can(rowan, "clinic.read", tern_quay)


@pytest.mark.parametrize(
    ("role", "clinic"), [("nurse", "TQ"), ("administrator", "TQ"), ("auditor", "SM")]
)
def test_a_director_gives_nothing_else(director, tern_quay, saltmere, role, clinic):
    person = make_person("sorrel")
    where = {"TQ": tern_quay, "SM": saltmere}[clinic]
    fields = {"quarters": ["2025-Q1"], "last_day": timezone.localdate().replace(2026, 2, 1)}
    with pytest.raises(PermissionDenied):
        _given(director, person, role, where, **fields)


def test_a_director_ends_any_grant_of_the_own_clinic_and_no_other(
    signed_in, director, nurse, tern_quay, saltmere
):
    there = make_grant(nurse, "nurse", saltmere)
    here = nurse.grants.get(clinic=tern_quay)
    client, sent = signed_in(director), {"reason": REASON, "password": PASSWORD}
    assert client.post(f"/people/grants/{there.uid}/end/", sent).status_code == 404
    assert client.post(f"/people/grants/{here.uid}/end/", sent).status_code == 302
    assert not can(nurse, "patient.read", tern_quay) and can(nurse, "patient.read", saltmere)


def test_ending_the_last_director_is_warned_of_and_done(
    signed_in, administrator, director, tern_quay
):
    grant, client = director.grants.get(), signed_in(administrator)
    page = client.get(f"/people/grants/{grant.uid}/end/").content.decode()
    assert "no other director" in page
    client.post(f"/people/grants/{grant.uid}/end/", {"reason": REASON, "password": PASSWORD})
    assert not can(director, "quarter.sign_off", tern_quay)


@pytest.mark.parametrize(
    ("role", "status"),
    [("nurse", 403), ("auditor", 403), ("data_manager", 403), ("director", 200),
     ("administrator", 200)],
)  # fmt: skip
def test_people_is_for_administrators_and_directors(signed_in, request, role, status):
    client = signed_in(request.getfixturevalue(role))
    assert client.get("/people/").status_code == status
    assert client.get("/people/invite/").status_code == (200 if role == "administrator" else 403)
