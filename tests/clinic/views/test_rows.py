"""Forms of the record as a nurse sends them: one answer, nothing typed lost, nobody overwritten."""

import uuid
from datetime import UTC, date, datetime

import pytest

from clinic.lineage import clinic_of
from clinic.models import AuditEvent, Contamination, EffluentSample, Patient, PdSpell, Peritonitis
from tests.factories import make_patient, make_peritonitis, make_sample, make_spell

REASON = "Copied from the wrong line."


@pytest.fixture
def patient(tern_quay):
    return make_patient(tern_quay)


@pytest.fixture
def episode(patient):
    return make_peritonitis(patient, resolved="", therapy_completed_on=None)


@pytest.fixture
def bramble(signed_in, nurse):
    return signed_in(nurse)


def _add(row, subject):
    return f"/clinic/{clinic_of(row).uid}/add/{subject}/{row.uid}/"


def _amend_page(row):
    return f"/clinic/{clinic_of(row).uid}/amend/{row.subject.name}/{row.uid}/"


def _opened(client, address):
    """What the browser would send back unchanged: every field with its value."""
    form = client.get(address).context["form"]
    return {bound.html_name: bound.value() or "" for bound in form}


def test_a_new_patient_is_saved_and_shown(bramble, tern_quay):
    answer = bramble.post(f"/clinic/{tern_quay.uid}/patients/new/", {"number": "TQ-052"})
    patient = Patient.objects.get()
    assert (patient.number, patient.birth_date) == ("TQ-052", None)
    assert answer["Location"] == f"/clinic/{tern_quay.uid}/patients/{patient.uid}/"


@pytest.mark.parametrize(
    ("number", "said"),
    [
        ("P0\u200b31", "invisible character U+200B"),
        ("P\u202e031", "hidden direction character U+202E"),
        ("P\x0031", "contains a null character"),
        ("9" * 201, "at most 200 characters, this has 201"),
        (" \u00a0", "This has to be filled."),
    ],
)
def test_a_record_number_that_only_looks_like_one_is_refused(bramble, tern_quay, number, said):
    answer = bramble.post(f"/clinic/{tern_quay.uid}/patients/new/", {"number": number})
    assert answer.status_code == 422 and not Patient.objects.exists()
    assert said in answer.content.decode()


def test_pressing_twice_makes_one_patient(bramble, tern_quay):
    address = f"/clinic/{tern_quay.uid}/patients/new/"
    sent = {"number": "TQ-052", "submission": str(uuid.uuid4())}
    assert bramble.post(address, sent)["Location"] == bramble.post(address, sent)["Location"]
    assert Patient.objects.count() == 1
    again = bramble.post(address, sent | {"number": "TQ-053"})
    assert again.status_code == 422 and "sent before" in again.content.decode()


def test_a_fault_stands_at_the_field_and_on_top_and_nothing_typed_is_lost(bramble, patient):
    answer = bramble.post(
        _add(patient, "pd_spells"), {"started_on": "2025-02-30", "modality": "apd"}
    )
    page = answer.content.decode()
    assert answer.status_code == 422 and not PdSpell.objects.exists()
    assert page.count("30 February 2025 is not in the calendar") == 2
    assert 'href="#id_started_on"' in page and 'value="2025-02-30"' in page
    assert 'value="apd" id="id_modality_1" checked' in page


@pytest.mark.parametrize(
    ("text", "said"),
    [("03/04/2025", "write 2025-04-03"), ("2026-01-21", "after today"), ("", "has to be filled")],
)
def test_days_are_read_as_files_are(bramble, patient, text, said):
    answer = bramble.post(_add(patient, "pd_spells"), {"started_on": text})
    assert answer.status_code == 422 and said in answer.content.decode()


# bad_inputs.csv N01
def test_a_count_per_litre_is_asked_and_the_nurse_answers(bramble, episode):
    sent = {"sample": "S1", "leucocytes_per_ul": "0.65"}
    page = bramble.post(_add(episode, "effluent_samples"), sent)
    assert page.status_code == 422 and not EffluentSample.objects.exists()
    assert "Laboratories often report ×10⁹/L: 0.65 ×10⁹/L is 650 per µL." in page.content.decode()
    sent["answer-leucocytes_per_ul-0.65"] = "650"
    assert bramble.post(_add(episode, "effluent_samples"), sent).status_code == 302
    assert EffluentSample.objects.get().leucocytes_per_ul == 650


@pytest.mark.parametrize(("answer", "stored"), [("88", 88.0), ("0.88", 0.88)])
def test_a_share_as_a_percentage_is_asked(bramble, episode, answer, stored):
    sent = {"sample": "S1", "neutrophil_percent": "0.88"}
    page = bramble.post(_add(episode, "effluent_samples"), sent)
    assert "0.88 percent? 88 would be written 88" in page.content.decode()
    sent["answer-neutrophil_percent-0.88"] = answer
    bramble.post(_add(episode, "effluent_samples"), sent)
    assert EffluentSample.objects.get().neutrophil_percent == stored


# bad_inputs.csv D15
def test_a_time_that_came_twice_is_asked(bramble, patient):
    sent = {"happened_at": "2025-10-26T01:30", "kind": "dry"}
    page = bramble.post(_add(patient, "contaminations"), sent)
    assert page.status_code == 422 and "came twice" in page.content.decode()
    sent["answer-happened_at-2025-10-26T01:30"] = "2025-10-26T01:30+00:00"
    assert bramble.post(_add(patient, "contaminations"), sent).status_code == 302
    assert Contamination.objects.get().happened_at == datetime(2025, 10, 26, 1, 30, tzinfo=UTC)


def test_not_known_is_stored_and_is_not_no(bramble, episode):
    address = _amend_page(episode)
    sent = _opened(bramble, address) | {"resolved": "unknown"}
    assert bramble.post(address, sent).status_code == 302
    assert Peritonitis.objects.get().resolved == "unknown"


def test_only_what_was_touched_is_changed(bramble, episode):
    address = _amend_page(episode)
    sent = _opened(bramble, address) | {"therapy_completed_on": "2025-03-31"}
    bramble.post(address, sent)
    event = AuditEvent.objects.get(verb="amend")
    assert event.changes == {"therapy_completed_on": [None, "2025-03-31"]}


def test_changing_a_filled_field_asks_why(bramble, episode):
    address = _amend_page(episode)
    sent = _opened(bramble, address) | {"onset_on": "2025-03-09"}
    page = bramble.post(address, sent)
    assert page.status_code == 422 and "Say why in a few words" in page.content.decode()
    assert bramble.post(address, sent | {"reason": REASON}).status_code == 302
    assert Peritonitis.objects.get().onset_on == date(2025, 3, 9)


# bad_inputs.csv C01
def test_the_second_of_two_sees_what_the_first_wrote_and_both_are_in(
    client, nurse, data_manager, episode
):
    address = _amend_page(episode)
    backend = "django.contrib.auth.backends.ModelBackend"
    client.force_login(data_manager, backend)
    teasels = _opened(client, address) | {"therapy_completed_on": "2025-04-02"}
    client.force_login(nurse, backend)
    client.post(address, _opened(client, address) | {"resolved": "yes"})
    client.force_login(data_manager, backend)
    page = client.post(address, teasels)
    said = page.content.decode()
    assert page.status_code == 409 and "Nurse Bramble changed this while" in said
    assert 'value="2025-04-02"' in said
    merged = {bound.html_name: bound.value() or "" for bound in page.context["form"]}
    assert client.post(address, merged).status_code == 302
    row = Peritonitis.objects.get()
    assert (row.resolved, row.therapy_completed_on) == ("yes", date(2025, 4, 2))


def test_two_texts_for_one_field_stand_side_by_side(client, nurse, data_manager, episode):
    address = _amend_page(episode)
    backend = "django.contrib.auth.backends.ModelBackend"
    client.force_login(data_manager, backend)
    teasels = _opened(client, address) | {"judged_source": "enteric"}
    client.force_login(nurse, backend)
    client.post(address, _opened(client, address) | {"judged_source": "touch"})
    client.force_login(data_manager, backend)
    said = client.post(address, teasels).content.decode()
    assert "Nurse Bramble wrote here meanwhile: <b>Touch contamination</b>" in said
    assert 'value="enteric" id="id_judged_source_2" checked' in said


def test_a_director_is_offered_the_judgements_alone(signed_in, director, episode):
    form = signed_in(director).get(_amend_page(episode)).context["form"]
    assert {column.name for column in form.columns} == {
        "judged_source", "judged_refractory", "resolved",
    }  # fmt: skip


def test_withdrawing_names_what_goes_along_and_asks_why(bramble, episode):
    make_sample(episode)
    address = _amend_page(episode).replace("/amend/", "/withdraw/")
    assert "Withdrawn with it: one effluent sample." in bramble.get(address).content.decode()
    assert bramble.post(address, {"version": 1, "reason": ""}).status_code == 422
    answer = bramble.post(address, {"version": 1, "reason": REASON})
    assert answer["Location"].endswith(f"/patients/{episode.patient.uid}/")
    assert not Peritonitis.objects.filter(withdrawn_at=None).exists()


def test_a_withdrawn_row_has_no_page_any_more(bramble, episode):
    Peritonitis.objects.update(withdrawn_at=datetime.now(UTC), withdrawn_reason=REASON)
    assert bramble.get(_amend_page(episode)).status_code == 404


def test_reading_a_form_changes_nothing(bramble, episode):
    bramble.get(_amend_page(episode).replace("/amend/", "/withdraw/"))
    assert not AuditEvent.objects.exclude(verb="read").exists()


def test_a_data_manager_is_asked_why_at_once(signed_in, data_manager, patient):
    client = signed_in(data_manager)
    page = client.get(_add(patient, "pd_spells")).content.decode()
    assert 'name="reason"' in page
    sent = {"started_on": "2024-02-05", "reason": REASON}
    assert client.post(_add(patient, "pd_spells"), sent).status_code == 302


def test_the_list_finds_by_record_number(bramble, tern_quay, patient):
    make_spell(make_patient(tern_quay, "TQ-052"))
    page = bramble.get(f"/clinic/{tern_quay.uid}/patients/?number=tq-05").content.decode()
    assert "TQ-052" in page and "P031" not in page


def test_an_organism_is_kept_as_typed_and_escaped(bramble, episode):
    sample = make_sample(episode)
    typed = "<img src=x onerror=alert(1)>Kleb"
    clinic = episode.patient.clinic.uid
    sent = {"organism": typed}
    assert bramble.post(f"/clinic/{clinic}/add/isolates/{sample.uid}/", sent).status_code == 302
    isolate = sample.isolates.get()
    page = bramble.get(f"/clinic/{clinic}/amend/isolates/{isolate.uid}/").content.decode()
    assert isolate.organism == typed and "<img" not in page


def test_a_part_of_an_episode_keeps_both_texts_too(client, nurse, data_manager, episode):
    address = f"/clinic/{episode.patient.clinic.uid}/episodes/{episode.uid}/outcome/"
    backend = "django.contrib.auth.backends.ModelBackend"
    client.force_login(data_manager, backend)
    teasels = _opened(client, address) | {"judged_source": "enteric", "reason": "As discussed."}
    client.force_login(nurse, backend)
    client.post(address, _opened(client, address) | {"resolved": "yes"})
    client.force_login(data_manager, backend)
    page = client.post(address, teasels)
    assert page.status_code == 409 and "Nurse Bramble wrote here meanwhile" in page.content.decode()
    merged = {bound.html_name: bound.value() or "" for bound in page.context["form"]}
    assert client.post(address, merged).status_code == 302
    row = Peritonitis.objects.get()
    assert (row.resolved, row.judged_source) == ("yes", "enteric")
