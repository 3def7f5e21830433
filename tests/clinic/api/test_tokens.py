"""Tokens (RFC 6750): one role into some clinics, dead at the next request after an end."""

from datetime import date

import pytest
from django.utils import timezone

from clinic.actions.people import deactivate
from clinic.actions.refusals import Refused
from clinic.models import Token
from tests.clinic.api.calls import PROBLEM, Caller, token_for
from tests.factories import make_grant, make_patient, make_person


@pytest.fixture
def token(nurse, tern_quay):
    return Caller(secret=token_for(nurse, "nurse", tern_quay))


def _list(clinic):
    return f"clinics/{clinic.uid}/patients/"


def test_a_token_reads_and_writes_as_its_role(token, nurse, tern_quay):
    assert token("GET", _list(tern_quay)).status_code == 200
    assert token("POST", _list(tern_quay), {"number": "P1"}).status_code == 201
    stored = Token.objects.get()
    assert stored.last_used_at and stored.person == nurse


@pytest.mark.parametrize("end", ["revoked", "run out", "grant ended", "grant over", "closed"])
def test_an_ended_token_is_nobody_from_the_next_request_on(
    token, nurse, administrator, tern_quay, end
):
    """Bad input S08; CWE-613."""
    assert token("GET", "account/").status_code == 200
    if end == "revoked":
        Token.objects.update(revoked_at=timezone.now())
    elif end == "run out":
        Token.objects.update(last_day=date(2026, 1, 19))
    elif end == "grant ended":
        nurse.grants.update(ended_at=timezone.now())
    elif end == "grant over":
        nurse.grants.update(last_day=date(2026, 1, 19))
    else:
        deactivate(person=nurse, by=administrator, reason="Left the clinic in January.")
    answer = token("GET", "account/")
    assert (answer.status_code, answer["Content-Type"]) == (401, PROBLEM)
    assert answer["WWW-Authenticate"] == 'Bearer realm="api"'


def test_a_clinic_that_the_token_does_not_name_is_like_none(token, nurse, saltmere):
    """Bad input S08, though its owner has that clinic too."""
    make_grant(nurse, "nurse", saltmere)
    assert token("GET", _list(saltmere)).status_code == 404
    assert [one["code"] for one in token("GET", "clinics/").json()["results"]] == ["TQ"]


def test_a_role_that_the_token_does_not_name_is_not_held(token, nurse, tern_quay):
    make_grant(nurse, "data_manager", tern_quay)
    row = make_patient(tern_quay)
    address = f"{_list(tern_quay)}{row.uid}/withdraw/"
    sent = {"version": 1, "reason": "Entered for the wrong clinic."}
    assert token("POST", address, sent).status_code == 403  # withdrawing is the data manager's


@pytest.mark.parametrize("role", ["auditor", "network_officer"])
def test_a_role_that_reads_has_a_token_that_reads(tern_quay, saltmere, role):
    person = make_person("rowan")
    place = {"network": "Estuary & Fells"} if role == "network_officer" else {}
    make_grant(person, role, None if place else tern_quay, **place)
    caller = Caller(secret=token_for(person, role, tern_quay))
    assert [one["code"] for one in caller("GET", "clinics/").json()["results"]] == ["TQ"]
    assert caller("GET", f"clinics/{saltmere.uid}/").status_code == 404
    for path in (_list(tern_quay), "account/"):
        answer = caller("POST", path, {"number": "P1"})
        assert answer.status_code == 403 and "does not write" in answer.json()["detail"]


def test_an_administrator_has_no_token(administrator, tern_quay):
    with pytest.raises(Exception, match="may not"):
        token_for(administrator, "administrator", tern_quay)


@pytest.mark.parametrize(("role", "clinic"), [("director", "TQ"), ("nurse", "SM")])
def test_a_token_is_a_part_of_the_owners_rights(nurse, tern_quay, saltmere, role, clinic):
    where = {"TQ": tern_quay, "SM": saltmere}[clinic]
    with pytest.raises(Refused):
        token_for(nurse, role, where)


@pytest.mark.parametrize(
    "sent", ["Bearer", "Bearer ", "Bearer nonsense", "Bearer \xff\xfe", "bearer " + "x" * 5000]
)
def test_what_is_no_token_is_nobody(db, sent):
    answer = Caller().client.get("/api/clinics/", headers={"Authorization": sent})
    assert (answer.status_code, answer["Content-Type"]) == (401, PROBLEM)


def test_a_token_in_the_address_is_no_token(nurse, tern_quay):
    """Bad input S11; CWE-598."""
    secret = token_for(nurse, "nurse", tern_quay)
    assert Caller()("GET", f"{_list(tern_quay)}?token={secret}").status_code == 401


def test_a_token_opens_no_page(nurse, tern_quay):
    """account.sign_in and token.use_for_sign_off_or_grants: no session comes of it."""
    caller = Caller(secret=token_for(nurse, "nurse", tern_quay))
    for page in (f"/clinic/{tern_quay.uid}/patients/", "/account/tokens/new/", "/people/"):
        answer = caller.client.get(page, headers=caller.headers)
        assert answer["Location"] == f"/sign-in?next={page}"
    assert not caller.client.cookies


def test_a_token_needs_no_second_factor_of_its_own(second_factor_on, token, tern_quay):
    """It was made in a session that had one."""
    assert token("GET", _list(tern_quay)).status_code == 200
