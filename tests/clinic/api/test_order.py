"""The order of checks: 401, 405, 403, 404, 403, 409, 400; out of sight is like none at all."""

import pytest

from clinic.models import Peritonitis
from tests.clinic.api.calls import NOWHERE, PROBLEM, Caller, errors_of
from tests.factories import make_grant, make_patient, make_peritonitis

REASON = "Copied from the wrong line."
OF_ONE = "peritonitis/{row}/"
AWAY = f"{OF_ONE}withdraw/"


@pytest.fixture
def other(saltmere):
    return make_peritonitis(make_patient(saltmere, "SM-001"), episode="SM-E1")


@pytest.mark.parametrize(
    ("method", "path", "body"),
    [
        ("GET", "", None),
        ("GET", OF_ONE, None),
        ("HEAD", OF_ONE, None),
        ("PATCH", OF_ONE, {"version": 1, "resolved": "yes"}),
        ("PATCH", OF_ONE, {"version": 9, "onset_on": "nonsense"}),
        ("POST", AWAY, {"version": 1, "reason": REASON}),
    ],
)
def test_another_clinics_row_is_like_none_at_all(bramble, tern_quay, other, method, path, body):
    """Bad input S01; CWE-639."""
    for clinic in (tern_quay.uid, other.patient.clinic.uid):
        path_here = path or "../nothing/" if clinic == tern_quay.uid else path or "peritonitis/"
        there = bramble(method, f"clinics/{clinic}/{path_here.format(row=other.uid)}", body)
        nowhere = bramble(method, f"clinics/{NOWHERE}/{path_here.format(row=NOWHERE)}", body)
        assert there.status_code == nowhere.status_code == 404
        assert there.content == nowhere.content and there.headers == nowhere.headers
        assert b"SM-" not in there.content and b"Saltmere" not in there.content


def test_an_address_that_is_none_answers_like_a_thing_that_is_none(bramble, tern_quay):
    for path in ("nothing/", "clinics/TQ/patients/", "clinics/1/", f"clinics/{tern_quay.uid}/x/"):
        answer = bramble("GET", path)
        assert (answer.status_code, answer["Content-Type"]) == (404, PROBLEM)
        assert answer.content == bramble("GET", f"clinics/{NOWHERE}/").content
        assert Caller()("GET", path).status_code == 401


@pytest.mark.parametrize("path", ["clinics/", "schema/", "account/", "clinics/{}/patients/"])
def test_nobody_is_asked_to_sign_in(db, tern_quay, path):
    answer = Caller()("GET", path.format(tern_quay.uid))
    assert (answer.status_code, answer["Content-Type"]) == (401, PROBLEM)
    assert answer["WWW-Authenticate"] == 'Bearer realm="api"'
    assert answer.content == Caller()("GET", path.format(NOWHERE)).content


@pytest.mark.parametrize("role", ["auditor", "administrator"])
def test_who_holds_a_capability_nowhere_is_told_so_before_any_look_up(request, tern_quay, e1, role):
    caller = Caller(request.getfixturevalue(role))
    for row in (e1.uid, NOWHERE):
        answer = caller("GET", f"clinics/{tern_quay.uid}/peritonitis/{row}/")
        assert answer.status_code == 403 and "nurse, director, data manager" in str(answer.json())


@pytest.mark.parametrize("subject", ["admissions", "contaminations"])
def test_an_auditor_reads_no_living_record(auditor, tern_quay, subject):
    """These may be read in a signed snapshot alone."""
    answer = Caller(auditor)("GET", f"clinics/{tern_quay.uid}/{subject}/")
    assert answer.status_code == 404


def test_who_may_read_but_not_do_this_is_told_who_may(director, tern_quay, e1):
    sent = {"version": 1, "reason": REASON}
    answer = Caller(director)("POST", f"clinics/{tern_quay.uid}/{AWAY.format(row=e1.uid)}", sent)
    assert answer.status_code == 403 and answer.json()["detail"] == (
        "This is for: nurse, data manager."
    )


def test_a_director_judges_an_episode_and_no_more(director, tern_quay, e1):
    address = f"clinics/{tern_quay.uid}/{OF_ONE.format(row=e1.uid)}"
    caller = Caller(director)
    assert caller("PATCH", address, {"version": 1, "resolved": "yes"}).status_code == 200
    change = {"version": 2, "onset_on": "2025-03-09", "reason": REASON}
    assert errors_of(caller("PATCH", address, change)).keys() == {"onset_on"}


def test_of_two_people_at_one_row_the_second_sees_the_first(bramble, teasel, tern_quay, e1):
    """Bad input C01; CWE-362. After reading once more both changes are in."""
    address = f"clinics/{tern_quay.uid}/{OF_ONE.format(row=e1.uid)}"
    assert bramble("PATCH", address, {"version": 1, "resolved": "yes"}).status_code == 200
    second = {"version": 1, "therapy_completed_on": "2025-04-02", "reason": REASON}
    answer = teasel("PATCH", address, second)
    assert (answer.status_code, answer["Content-Type"]) == (409, PROBLEM)
    assert "Nurse Bramble" in answer.json()["detail"]
    assert answer.json()["current"]["resolved"] == "yes"
    assert teasel("PATCH", address, second | {"version": 2}).status_code == 200
    row = Peritonitis.objects.get()
    assert (row.resolved, str(row.therapy_completed_on)) == ("yes", "2025-04-02")


def test_a_stale_version_is_told_before_a_fault_in_a_field(bramble, tern_quay, e1):
    address = f"clinics/{tern_quay.uid}/{OF_ONE.format(row=e1.uid)}"
    assert bramble("PATCH", address, {"version": 7, "onset_on": "x"}).status_code == 409
    assert errors_of(bramble("PATCH", address, {"version": 1, "onset_on": "x"})) != {}


@pytest.mark.parametrize("field", ["patient", "peritonitis"])
def test_a_row_named_in_a_body_out_of_sight_is_like_a_random_id(bramble, tern_quay, other, field):
    """access.csv, rule.references."""
    subject = "admissions" if field == "patient" else "effluent_samples"
    rest = {"admitted_on": "2025-03-10"} if field == "patient" else {"sample": "S1"}
    theirs = other.patient if field == "patient" else other
    address = f"clinics/{tern_quay.uid}/{subject}/"
    there, nowhere, nonsense = (
        bramble("POST", address, rest | {field: str(uid)}) for uid in (theirs.uid, NOWHERE, "x")
    )
    assert there.content == nowhere.content == nonsense.content
    assert "no such" in errors_of(there)[field][0]
    for uid in (theirs.uid, NOWHERE, "x"):
        assert "no such" in errors_of(bramble("GET", f"{address}?{field}={uid}"))[field][0]


def test_lists_do_not_depend_on_another_clinics_rows(bramble, tern_quay, saltmere, e1):
    address = f"clinics/{tern_quay.uid}/peritonitis/?page_size=1"
    before = bramble("GET", address)
    make_peritonitis(make_patient(saltmere, "SM-9"))
    after = bramble("GET", address)
    assert before.content == after.content and before.headers == after.headers


def test_the_same_number_elsewhere_is_neither_an_error_nor_mentioned(bramble, tern_quay, other):
    """Bad input I02, with leading zeros that make another patient."""
    address = f"clinics/{tern_quay.uid}/patients/"
    for number in ("SM-001", "000123", "123"):
        made = bramble("POST", address, {"number": number})
        assert made.status_code == 201 and made.json()["warnings"] == []
    assert errors_of(bramble("POST", address, {"number": "123"})).keys() == {"number"}


def test_an_ended_grant_ends_at_the_next_request(bramble, nurse, tern_quay, saltmere):
    make_grant(nurse, "nurse", saltmere)
    address = f"clinics/{tern_quay.uid}/patients/"
    assert bramble("GET", address).status_code == 200
    nurse.grants.filter(clinic=tern_quay).update(last_day="2026-01-19")
    assert bramble("GET", address).status_code == 404


def test_a_session_writes_only_with_the_pages_own_token(nurse, tern_quay):
    """Bad input S03; CWE-352."""
    caller = Caller(nurse, enforce_csrf_checks=True)
    answer = caller("POST", f"clinics/{tern_quay.uid}/patients/", {"number": "P1"})
    assert (answer.status_code, answer["Content-Type"]) == (403, PROBLEM)
    assert caller("GET", f"clinics/{tern_quay.uid}/patients/").status_code == 200
