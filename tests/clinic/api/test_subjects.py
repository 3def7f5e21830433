"""Every subject of the record over the API: listed, read, recorded, amended, withdrawn."""

import pytest

from clinic.actions.rights import RIGHTS
from clinic.models import MODELS, AuditEvent, Patient, Peritonitis
from tests.clinic.api.calls import NOWHERE, PROBLEM, Caller, errors_of
from tests.factories import make_patient, make_peritonitis

REASON = "Copied from the wrong line."


def _here(row_or_clinic, path=""):
    return f"clinics/{row_or_clinic.uid}/{path}"


@pytest.mark.parametrize("subject", sorted(RIGHTS))
def test_every_subject_has_its_list(bramble, tern_quay, subject):
    answer = bramble("GET", _here(tern_quay, f"{subject}/"))
    assert answer.status_code == 200 and answer.json()["results"] == []
    assert answer["Cache-Control"] == "no-store, private"


def test_a_patient_an_episode_and_a_sample_are_recorded(bramble, tern_quay):
    made = bramble("POST", _here(tern_quay, "patients/"), {"number": " P044 ", "sex": "male"})
    assert made.status_code == 201 and made.json()["number"] == "P044"
    assert made.json()["diabetes"] is None and made.json()["warnings"]
    episode = bramble(
        "POST",
        _here(tern_quay, "peritonitis/"),
        {"patient": made.json()["uid"], "episode": "E1", "presented_at": "2025-03-10T09:40"},
    )
    assert episode.json()["presented_at"] == "2025-03-10T09:40:00+00:00"
    sample = bramble(
        "POST",
        _here(tern_quay, "effluent_samples/"),
        {"peritonitis": episode.json()["uid"], "sample": "S1", "dwell_hours": 2.5},
    )
    assert (sample.status_code, sample.json()["dwell_hours"]) == (201, 2.5)
    assert Peritonitis.objects.get().samples.get().hand_columns == ["dwell_hours", "sample"]


def test_what_comes_out_can_be_sent_back_and_changes_nothing(bramble, tern_quay, e1):
    address = _here(tern_quay, f"peritonitis/{e1.uid}/")
    row = bramble("GET", address).json()
    sent = {name: row[name] for name in row if name not in ("uid", "recorded_at", "patient")}
    answer = bramble("PATCH", address, sent)
    assert answer.status_code == 200 and answer.json()["version"] == 1
    assert not AuditEvent.objects.filter(verb="amend").exists()


def test_a_change_of_nothing_changes_nothing(bramble, tern_quay, e1):
    """Found by the fuzzer: no field was read, and none was there to warn of."""
    answer = bramble("PATCH", _here(tern_quay, f"peritonitis/{e1.uid}/"), {"version": 1})
    assert answer.status_code == 200 and answer.json()["warnings"] == []


def test_amending_needs_the_version_and_for_a_filled_field_a_reason(bramble, tern_quay, e1):
    address = _here(tern_quay, f"peritonitis/{e1.uid}/")
    assert errors_of(bramble("PATCH", address, {"resolved": "yes"})).keys() == {"version"}
    filled = bramble("PATCH", address, {"resolved": "yes", "version": 1})
    assert (filled.status_code, filled.json()["version"]) == (200, 2)
    changed = {"resolved": "no", "version": 2}
    assert errors_of(bramble("PATCH", address, changed)).keys() == {"reason"}
    assert bramble("PATCH", address, changed | {"reason": REASON}).json()["resolved"] == "no"


def test_a_pause_keeps_its_own_reason_apart_from_the_changes(bramble, tern_quay, p031):
    sent = {"patient": str(p031.uid), "started_on": "2025-05-01", "reason": "travel"}
    row = bramble("POST", _here(tern_quay, "pd_pauses/"), sent).json()
    address = _here(tern_quay, f"pd_pauses/{row['uid']}/")
    change = {"version": 1, "reason": "other"}
    assert errors_of(bramble("PATCH", address, change)).keys() == {"change_reason"}
    assert bramble("PATCH", address, change | {"change_reason": REASON}).json()["reason"] == "other"


def test_a_withdrawn_row_is_gone_from_list_and_address(bramble, tern_quay, e1):
    address = _here(tern_quay, f"peritonitis/{e1.uid}/")
    answer = bramble("POST", f"{address}withdraw/", {"version": 1, "reason": REASON})
    assert answer.json() == {"uid": str(e1.uid), "version": 2, "withdrawn": True}
    assert bramble("GET", address).status_code == 404
    assert bramble("GET", _here(tern_quay, "peritonitis/")).json()["count"] == 0


def test_a_list_is_paged_ordered_and_filtered(bramble, tern_quay, saltmere):
    for number in ("P3", "P1", "P2"):
        make_patient(tern_quay, number, sex="male" if number == "P2" else "female")
    make_patient(saltmere, "P0")
    address = _here(tern_quay, "patients/")
    first = bramble("GET", f"{address}?ordering=-number&page_size=2").json()
    assert [row["number"] for row in first["results"]] == ["P3", "P2"]
    assert (first["count"], first["pages"], first["previous"]) == (3, 2, None)
    last = bramble("GET", f"{address}{first['next']}").json()
    assert [row["number"] for row in last["results"]] == ["P1"] and last["next"] is None
    men = bramble("GET", f"{address}?sex=male").json()["results"]
    assert [row["number"] for row in men] == ["P2"]


def test_days_are_filtered_from_and_to(bramble, tern_quay, p031):
    for name, day in (("E1", "2025-03-10"), ("E2", "2025-06-10")):
        make_peritonitis(p031, episode=name, onset_on=day, therapy_completed_on=None)
    address = _here(tern_quay, f"peritonitis/?patient={p031.uid}&onset_on_from=")
    found = bramble("GET", f"{address}2025-03-11&onset_on_to=2025-06-10").json()["results"]
    assert [row["episode"] for row in found] == ["E2"]


def test_a_read_is_stored_with_every_patient_before_it_is_answered(bramble, nurse, tern_quay, e1):
    make_patient(tern_quay, "P032")
    bramble("GET", _here(tern_quay, f"peritonitis/{e1.uid}/"))
    bramble("HEAD", _here(tern_quay, "patients/"))
    one, many = AuditEvent.objects.filter(verb="read", by=nurse).order_by("number")
    assert one.changes["patients"] == [str(e1.patient.uid)]
    uids = Patient.objects.values_list("uid", flat=True)
    assert many.changes["patients"] == sorted(map(str, uids))
    assert many.changes["page"] == "api/patients"


def test_nothing_identified_is_sent_if_the_line_cannot_be_stored(
    bramble, tern_quay, e1, database_refuses
):
    database_refuses("clinic.actions.reading.write_event")
    answer = bramble("GET", _here(tern_quay, f"peritonitis/{e1.uid}/"))
    assert (answer.status_code, answer["Content-Type"]) == (503, PROBLEM)
    assert b"E1" not in answer.content


@pytest.fixture
def database_refuses(monkeypatch):
    """A database that takes no more writes."""
    from django.db import OperationalError

    def refuse(*args, **kwargs):
        raise OperationalError("attempt to write a readonly database")

    return lambda name: monkeypatch.setattr(name, refuse)


# bad_inputs.csv C08
def test_a_write_that_the_database_does_not_take_says_not_saved(
    bramble, tern_quay, p031, database_refuses
):
    database_refuses("clinic.actions.writing.write_event")
    sent = {"patient": str(p031.uid), "episode": "E9", "onset_on": "2025-05-01"}
    answer = bramble("POST", _here(tern_quay, "peritonitis/"), sent)
    assert answer.status_code == 503 and "Not saved" in answer.json()["detail"]
    assert not Peritonitis.objects.exists() and b"readonly" not in answer.content


@pytest.mark.parametrize("method", ["PUT", "DELETE", "TRACE"])
@pytest.mark.parametrize("path", ["", "{uid}/", "{uid}/withdraw/"])
def test_no_route_takes_another_verb(bramble, tern_quay, e1, method, path):
    for uid in (e1.uid, NOWHERE):
        answer = bramble(method, _here(tern_quay, f"peritonitis/{path.format(uid=uid)}"))
        assert (answer.status_code, answer["Content-Type"]) == (405, PROBLEM)


@pytest.mark.parametrize("method", ["GET", "PATCH"])
def test_withdrawing_is_a_post(bramble, tern_quay, e1, method):
    address = _here(tern_quay, f"peritonitis/{e1.uid}/withdraw/")
    assert bramble(method, address, {"version": 1, "reason": REASON}).status_code == 405


def test_a_method_in_a_header_or_a_field_is_no_method(bramble, tern_quay, e1):
    address = _here(tern_quay, f"peritonitis/{e1.uid}/")
    sent = {"version": 1, "_method": "DELETE"}
    answer = bramble("PATCH", address, sent, X_HTTP_Method_Override="DELETE")
    assert errors_of(answer).keys() == {"_method"}


def test_options_needs_sign_in_and_lists_nothing_of_the_record(bramble, tern_quay, p031):
    address = _here(tern_quay, "peritonitis/")
    assert Caller()("OPTIONS", address).status_code == 401
    answer = bramble("OPTIONS", address)
    assert answer.json() == {"methods": ["GET", "POST", "HEAD", "OPTIONS"]}


def test_clinics_and_account_show_the_own_alone(bramble, nurse, tern_quay, saltmere):
    clinics = bramble("GET", "clinics/").json()["results"]
    assert [clinic["code"] for clinic in clinics] == ["TQ"]
    assert bramble("GET", _here(saltmere)).status_code == 404
    account = bramble("GET", "account/").json()
    assert account["username"] == "bramble" and account["grants"][0]["role"] == "nurse"


def test_every_model_below_a_clinic_has_routes():
    assert set(RIGHTS) == set(MODELS) - {"clinics"}
