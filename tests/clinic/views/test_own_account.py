"""The own account: sessions seen and ended, password changed, tokens made and revoked."""

import re

import pytest
from django.test import Client
from django.utils import timezone

from clinic.models import OpenSession, Patient, Token
from tests.factories import PASSWORD, make_grant, make_patient

BACKEND = "django.contrib.auth.backends.ModelBackend"
NEW = "Otter-Quay-Teal-77"


@pytest.fixture
def elsewhere(nurse):
    """The same nurse in another browser."""
    other = Client()
    other.force_login(nurse, BACKEND)
    return other


def _token(client, clinic, **fields):
    sent = {
        "name": "monthly export", "role": "nurse", "clinics": [str(clinic.uid)],
        "last_day": "2026-03-01", "password": PASSWORD,
    }  # fmt: skip
    return client.post("/account/tokens/new/", sent | fields)


def test_sessions_are_seen_and_another_one_is_ended(signed_in, nurse, elsewhere, tern_quay):
    client = signed_in(nurse)
    page = client.get("/account/").content.decode()
    assert page.count("/end/") == 1 and "this one" in page
    uid = re.search(r"/account/sessions/([\w-]+)/end/", page)[1]
    client.post(f"/account/sessions/{uid}/end/")
    assert elsewhere.get("/")["Location"] == "/sign-in?next=/"
    assert client.get("/account/").status_code == 200


def test_nobody_ends_anothers_session(signed_in, nurse, director, elsewhere):
    other = OpenSession.objects.get(person=nurse)
    answer = signed_in(director).post(f"/account/sessions/{other.uid}/end/")
    assert answer.status_code == 404 and elsewhere.get("/account/").status_code == 200


def test_a_changed_password_ends_other_sessions_and_tokens(signed_in, nurse, elsewhere, tern_quay):
    client = signed_in(nurse)
    _token(client, tern_quay)
    OpenSession.objects.update(asked_again_at=None)
    sent = {"password": PASSWORD, "new_password": NEW, "once_more": NEW}
    assert client.post("/account/password/", sent | {"password": "wrong"}).status_code == 422
    assert client.post("/account/password/", sent)["Location"] == "/account/"
    assert client.get("/account/").status_code == 200
    assert elsewhere.get("/")["Location"] == "/sign-in?next=/"
    nurse.refresh_from_db()
    assert nurse.check_password(NEW) and Token.objects.get().revoked_at


def test_a_token_is_shown_once_and_kept_as_a_digest(signed_in, nurse, tern_quay):
    client = signed_in(nurse)
    page = _token(client, tern_quay).content.decode()
    secret = re.search(r"<code>([\w-]{43})</code>", page)[1]
    token = Token.objects.get()
    assert secret not in (token.digest, token.first_characters)
    assert secret.startswith(token.first_characters)
    assert secret not in client.get("/account/").content.decode()
    answer = Client().get(
        f"/api/clinics/{tern_quay.uid}/patients/", headers={"Authorization": f"Bearer {secret}"}
    )
    assert answer.status_code == 200
    client.post(f"/account/tokens/{token.uid}/revoke/")
    answer = Client().get("/api/account/", headers={"Authorization": f"Bearer {secret}"})
    assert answer.status_code == 401


@pytest.mark.parametrize(
    ("fields", "field"),
    [
        ({"password": ""}, "password"),
        ({"role": "director"}, "role"),
        ({"clinics": []}, "clinics"),
        ({"clinics": ["00000000-0000-4000-8000-000000000000"]}, "clinics"),
        ({"last_day": "2026-04-21"}, "last_day"),
        ({"last_day": "2026-01-19"}, "last_day"),
        ({"name": ""}, "name"),
    ],
)
def test_a_token_is_never_more_than_the_own_right(signed_in, nurse, tern_quay, fields, field):
    answer = _token(signed_in(nurse), tern_quay, **fields)
    assert answer.status_code == 422 and field in answer.context["form"].errors
    assert not Token.objects.exists()


def test_a_token_ends_with_the_grant_it_uses(signed_in, nurse, tern_quay):
    nurse.grants.update(last_day="2026-02-01")
    client = signed_in(nurse)
    assert _token(client, tern_quay, last_day="2026-02-02").status_code == 422
    assert _token(client, tern_quay, last_day="2026-02-01").status_code == 200


def test_an_administrator_gets_no_token(signed_in, administrator):
    client = signed_in(administrator)
    assert client.get("/account/tokens/new/").status_code == 403
    assert "Make a token" not in client.get("/account/").content.decode()


def test_five_minutes_after_it_was_asked_the_password_is_asked_again(signed_in, nurse, tern_quay):
    client = signed_in(nurse)
    _token(client, tern_quay)
    assert _token(client, tern_quay, password="").status_code == 200
    OpenSession.objects.update(asked_again_at=timezone.now() - timezone.timedelta(minutes=6))
    assert _token(client, tern_quay, password="").status_code == 422


def test_activity_names_patients_only_while_they_may_be_read(signed_in, nurse, tern_quay, saltmere):
    make_grant(nurse, "nurse", saltmere)
    here, there = make_patient(tern_quay, "TQ-1"), make_patient(saltmere, "SM-1")
    client = signed_in(nurse)
    for row in (here, there):
        client.get(f"/clinic/{row.clinic.uid}/patients/{row.uid}/")
    page = client.get("/account/activity/").content.decode()
    assert "TQ-1" in page and "SM-1" in page
    nurse.grants.filter(clinic=saltmere).update(ended_at=timezone.now())
    page = client.get("/account/activity/").content.decode()
    assert "TQ-1" in page and "SM-1" not in page and "1 no longer open to you" in page
    assert Patient.objects.count() == 2
