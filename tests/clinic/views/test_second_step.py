"""The second step of signing in, and sessions that end by themselves."""

from datetime import timedelta

import pytest
from django.utils import timezone

from clinic.actions import second_factor
from clinic.actions.second_factor import begin_second_factor, needs_second_factor
from clinic.demo.accounts import mark_as_demo
from clinic.models import AuditEvent, OpenSession, SecondFactor
from clinic.one_time_codes import code_at, step_of
from tests.factories import PASSWORD, make_grant, make_person

pytestmark = pytest.mark.usefixtures("second_factor_on")


def _code(person, aside=0):
    secret = SecondFactor.objects.get(person=person).secret
    return code_at(secret, step_of(timezone.now()) + aside)


def _with_telephone(person):
    factor = begin_second_factor(person)
    factor.confirmed_at = timezone.now()
    factor.save()
    return factor


def _password(client, username="bramble"):
    return client.post("/sign-in", {"username": username, "password": PASSWORD, "next": "/"})


def test_the_first_sign_in_sets_up_the_telephone(client, nurse, tern_quay):
    _password(client)
    asked = client.get("/", follow=True)
    assert asked.redirect_chain[-1][0].startswith("/sign-in/telephone?")
    secret = SecondFactor.objects.get().secret
    assert secret[:4] in asked.content.decode()
    assert client.post("/sign-in/telephone?next=/", {"code": "000000"}).status_code == 422
    answer = client.post("/sign-in/telephone?next=/", {"code": _code(nurse)})
    assert answer["Location"] == "/"
    assert client.get("/")["Location"] == f"/clinic/{tern_quay.uid}/today/"
    assert AuditEvent.objects.filter(verb="set up", by=nurse).exists()


def test_a_password_alone_opens_nothing(client, nurse, tern_quay):
    _with_telephone(nurse)
    _password(client)
    page = f"/clinic/{tern_quay.uid}/patients/"
    assert client.get(page)["Location"].startswith("/sign-in/code?next=")
    assert client.get(f"/api/clinics/{tern_quay.uid}/patients/").status_code == 401
    again = client.get("/sign-in/telephone")
    assert again["Location"] == "/sign-in/code"  # no second telephone without the first
    answer = client.post(f"/sign-in/code?next={page}", {"code": _code(nurse)})
    assert answer["Location"] == page and client.get(page).status_code == 200


def test_a_code_opens_one_session_once(client, nurse, tern_quay):
    _with_telephone(nurse)
    code = _code(nurse)
    for status in (302, 422):
        client.logout()
        _password(client)
        assert client.post("/sign-in/code", {"code": code}).status_code == status


def test_after_five_wrong_codes_the_right_one_waits_too(client, nurse, tern_quay):
    factor = _with_telephone(nurse)
    _password(client)
    for _ in range(5):
        assert client.post("/sign-in/code", {"code": "000000"}).status_code == 422
    assert client.post("/sign-in/code", {"code": _code(nurse)}).status_code == 422
    factor.refresh_from_db()
    factor.last_wrong_at -= timedelta(minutes=16)
    factor.save()
    assert client.post("/sign-in/code", {"code": _code(nurse)}).status_code == 302


@pytest.mark.parametrize("address", ["https://x.invalid/", "//x.invalid", "javascript:alert(1)"])
def test_the_way_on_stays_on_this_site(client, nurse, tern_quay, address):
    _with_telephone(nurse)
    _password(client)
    answer = client.post(f"/sign-in/code?next={address}", {"code": _code(nurse)})
    assert answer["Location"] == "/"


@pytest.mark.parametrize(
    ("roles", "nurse_setting", "needed"),
    [
        (["nurse"], True, True),
        (["nurse"], False, False),
        (["nurse", "director"], False, True),
        (["director"], False, True),
        (["data_manager"], False, True),
        (["auditor"], False, True),
        (["administrator"], False, True),
        (["network_officer"], False, True),
        ([], False, True),
    ],
)
def test_who_needs_one(tern_quay, settings, roles, nurse_setting, needed):
    """access.csv, account.second_factor."""
    settings.SECOND_FACTOR_NURSE = nurse_setting
    person = make_person()
    for role in roles:
        house = role in ("administrator", "network_officer")
        make_grant(person, role, None if house else tern_quay)
    assert needs_second_factor(person) is needed


@pytest.mark.parametrize(("demo", "marked", "off"), [(True, True, True), (True, False, False),
                                                     (False, True, False)])  # fmt: skip
def test_it_is_off_in_a_demonstration_alone(db, settings, monkeypatch, demo, marked, off):
    monkeypatch.undo()
    settings.DEMO = demo
    if marked:
        mark_as_demo()
    assert second_factor.is_off() is off


@pytest.mark.parametrize(
    ("idle_minutes", "age_hours", "open_"), [(29, 1, True), (31, 1, False), (1, 13, False)]
)
def test_a_session_ends_on_the_server(signed_in, nurse, tern_quay, idle_minutes, age_hours, open_):
    """30 minutes without a page, 12 hours in all: account.own_sessions."""
    client = signed_in(nurse)
    now = timezone.now()
    OpenSession.objects.update(
        second_factor_at=now,
        seen_at=now - timedelta(minutes=idle_minutes),
        began_at=now - timedelta(hours=age_hours),
    )
    answer = client.get(f"/clinic/{tern_quay.uid}/patients/")
    assert answer.status_code == (200 if open_ else 302)
    if not open_:
        assert answer["Location"].startswith("/sign-in?next=")


def test_a_session_of_which_nothing_is_known_opens_nothing(signed_in, nurse, tern_quay):
    client = signed_in(nurse)
    OpenSession.objects.all().delete()
    assert client.get("/")["Location"] == "/sign-in?next=/"


def test_a_session_key_set_before_signing_in_is_not_the_one_signed_in(client, nurse):
    """Bad input S09; CWE-384."""
    client.get("/sign-in")
    session = client.session
    session["seen"] = 1
    session.save()
    planted = session.session_key
    client.cookies["sessionid"] = planted
    _password(client)
    assert OpenSession.objects.get().session_key not in (planted, None)
    assert client.cookies["sessionid"].value != planted


def test_many_places_at_one_account_are_held_up_too(client, nurse):
    """Bad input S10: eight tries in all, however many addresses; then 15 minutes at most."""
    for number in range(8):
        sent = {"username": "bramble", "password": "wrong"}
        answer = client.post("/sign-in", sent, REMOTE_ADDR=f"127.0.1.{number}")
    assert answer.status_code == 429
    from_home = client.post(
        "/sign-in", {"username": "bramble", "password": PASSWORD}, REMOTE_ADDR="127.0.2.1"
    )
    assert (from_home.status_code, from_home["Retry-After"]) == (429, "900")
