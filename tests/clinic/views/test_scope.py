"""Who sees what, page by page: 404 out of sight, 403 not for this role, the same for all."""

import re
import uuid

import pytest

from tests.factories import make_patient, make_peritonitis, make_sample

NOWHERE = uuid.UUID("00000000-0000-4000-8000-000000000000")


def _plain(answer):
    """Without the page's own token, which differs from answer to answer anyway."""
    return re.sub(rb'name="csrfmiddlewaretoken" value="\w+"', b"", answer.content)


@pytest.fixture
def other(saltmere):
    return make_peritonitis(make_patient(saltmere, "SM-001"))


@pytest.mark.parametrize(
    "address",
    [
        "/clinic/{clinic}/today/",
        "/clinic/{clinic}/patients/",
        "/clinic/{clinic}/patients/new/",
        "/clinic/{clinic}/patients/{patient}/episode/",
        "/clinic/{clinic}/add/pd_spells/{patient}/",
        "/clinic/{clinic}/amend/peritonitis/{episode}/",
        "/clinic/{clinic}/withdraw/peritonitis/{episode}/",
    ],
)
@pytest.mark.parametrize("method", ["get", "post"])
def test_another_clinics_thing_is_like_none_at_all(signed_in, nurse, other, address, method):
    client = signed_in(nurse)
    ours = {"clinic": other.patient.clinic.uid, "patient": other.patient.uid, "episode": other.uid}
    there = getattr(client, method)(address.format(**ours))
    nowhere = getattr(client, method)(address.format(**dict.fromkeys(ours, NOWHERE)))
    reads_only = method == "post" and address.endswith(("/today/", "/patients/"))
    assert there.status_code == nowhere.status_code == (405 if reads_only else 404)
    assert there.content == nowhere.content and "Saltmere" not in there.content.decode()
    assert dict(there.headers) == dict(nowhere.headers)


def test_another_clinics_row_under_the_own_clinics_address_is_not_found(
    signed_in, nurse, tern_quay, other
):
    address = f"/clinic/{tern_quay.uid}/amend/peritonitis/{other.uid}/"
    assert signed_in(nurse).get(address).status_code == 404


@pytest.mark.parametrize(
    ("role", "page", "status"),
    [
        ("nurse", "today/", 200),
        ("director", "today/", 200),
        ("data_manager", "today/", 200),
        ("auditor", "today/", 403),
        ("administrator", "today/", 403),
        ("nurse", "patients/", 200),
        ("auditor", "patients/", 403),
        ("administrator", "patients/", 403),
        ("nurse", "patients/new/", 200),
        ("data_manager", "patients/new/", 200),
        ("director", "patients/new/", 403),
    ],
)
def test_pages_of_the_own_clinic_by_role(signed_in, request, tern_quay, role, page, status):
    person = request.getfixturevalue(role)
    assert signed_in(person).get(f"/clinic/{tern_quay.uid}/{page}").status_code == status


@pytest.mark.parametrize(
    ("role", "form", "status"),
    [
        ("nurse", "amend/peritonitis/{episode}/", 200),
        ("director", "amend/peritonitis/{episode}/", 200),
        ("nurse", "withdraw/peritonitis/{episode}/", 200),
        ("director", "withdraw/peritonitis/{episode}/", 403),
        ("director", "add/effluent_samples/{episode}/", 403),
        ("nurse", "add/effluent_samples/{episode}/", 200),
        ("nurse", "withdraw/effluent_samples/{sample}/", 200),
        ("auditor", "amend/peritonitis/{episode}/", 403),
        ("auditor", "add/admissions/{patient}/", 403),
        ("nurse", "add/patients/{patient}/", 404),
        ("nurse", "add/grants/{patient}/", 404),
    ],
)
def test_forms_of_the_own_clinic_by_role(signed_in, request, tern_quay, role, form, status):
    sample = make_sample(make_peritonitis(make_patient(tern_quay)))
    episode = sample.peritonitis
    uids = {"sample": sample.uid, "episode": episode.uid, "patient": episode.patient.uid}
    person = request.getfixturevalue(role)
    address = f"/clinic/{tern_quay.uid}/{form.format(**uids)}"
    assert signed_in(person).get(address).status_code == status


@pytest.mark.parametrize("method", ["put", "delete", "patch"])
def test_nothing_is_deleted_or_put_on_a_clinical_address(signed_in, nurse, tern_quay, method):
    row = make_peritonitis(make_patient(tern_quay))
    client, clinic = signed_in(nurse), f"/clinic/{tern_quay.uid}"
    for address in (f"amend/peritonitis/{row.uid}/", f"episodes/{NOWHERE}/", "patients/"):
        assert getattr(client, method)(f"{clinic}/{address}").status_code == 405


def test_an_ended_grant_ends_at_the_next_request(signed_in, nurse, tern_quay):
    client = signed_in(nurse)
    address = f"/clinic/{tern_quay.uid}/patients/"
    assert client.get(address).status_code == 200
    nurse.grants.update(last_day="2026-01-19")
    assert client.get(address).status_code == 403


@pytest.mark.parametrize("page", ["/", "/sign-in", "/clinic/{}/patients/", "/nothing"])
def test_pages_are_kept_by_nobody_and_bring_no_script(signed_in, nurse, tern_quay, page):
    answer = signed_in(nurse).get(page.format(tern_quay.uid))
    assert answer["Cache-Control"] == "no-store, private"
    assert "default-src 'self'" in answer["Content-Security-Policy"]
    assert b"<script" not in answer.content and b" style=" not in answer.content


def test_a_form_from_elsewhere_is_refused(nurse, tern_quay):
    from django.test import Client

    client = Client(enforce_csrf_checks=True)
    client.force_login(nurse, "django.contrib.auth.backends.ModelBackend")
    answer = client.post(f"/clinic/{tern_quay.uid}/patients/new/", {"number": "P1"})
    assert answer.status_code == 403 and "form has grown too old" in answer.content.decode()


def test_lists_do_not_depend_on_another_clinics_rows(signed_in, nurse, tern_quay, saltmere):
    make_patient(tern_quay)
    client, address = signed_in(nurse), f"/clinic/{tern_quay.uid}/patients/?number=P"
    before = _plain(client.get(address))
    make_peritonitis(make_patient(saltmere, "P032"))
    assert _plain(client.get(address)) == before
