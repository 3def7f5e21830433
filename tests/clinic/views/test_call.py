"""The call: red flags first, saved at every step, a person who waits stands on Today."""

from datetime import date

import pytest

from clinic.models import AuditEvent, Call, ClinicText, Peritonitis
from tests.factories import make_patient, make_spell

FLAGS = {
    "severe_pain": "no",
    "shivering": "no",
    "faint": "no",
    "vomiting": "no",
    "sugar_out_of_hand": "unknown",
}


@pytest.fixture
def patient(tern_quay):
    patient = make_patient(tern_quay, "TQ-052")
    make_spell(patient, modality="apd")
    return patient


@pytest.fixture
def bramble(signed_in, nurse):
    return signed_in(nurse)


def _open(client, patient, **flags):
    address = f"/clinic/{patient.clinic.uid}/call/of/{patient.uid}/"
    return client.post(address, FLAGS | flags)["Location"]


def _answers(client, address, **given):
    form = client.get(address).context["forms"]
    sent = {field.html_name: field.value() for field in form.hidden()}
    return client.post(address, sent | {name.replace("__", "-"): v for name, v in given.items()})


def test_the_first_step_opens_a_suspected_episode(bramble, patient):
    page = bramble.get(_open(bramble, patient)).content.decode()
    episode = Call.objects.get().peritonitis
    assert (episode.onset_on, episode.found_by) == (date(2026, 1, 20), "clinic")
    assert "No red flag so far." in page and "Ask again on arrival: diabetes" in page
    assert "TQ-052, APD, no helper" in page and "Keep the cloudy bag." in page


def test_a_red_flag_says_where_to_send_the_patient(bramble, patient):
    page = bramble.get(_open(bramble, patient, shivering="yes")).content.decode()
    assert "Red flag: shivering. Send the patient at once." in page
    assert "Go to the emergency department now" in page


def test_what_is_told_goes_to_the_call_and_to_its_episode(bramble, patient, tern_quay):
    answer = _answers(
        bramble, _open(bramble, patient),
        call__first_cloudy_at="2026-01-19T22:10", call__pain_score="4",
        call__happened=["touched", "bowel"], call__expected_at="2026-01-20T08:00",
        episode__cloudy_effluent="yes", episode__abdominal_pain="yes",
    )  # fmt: skip
    assert answer["Location"] == f"/clinic/{tern_quay.uid}/today/"
    call = Call.objects.get()
    assert (call.pain_score, call.happened) == (4, "touched;bowel")
    episode = call.peritonitis
    assert (episode.onset_on, episode.cloudy_effluent) == (date(2026, 1, 19), "yes")
    page = bramble.get(answer["Location"]).content.decode()
    assert "One patient on the way" in page and "Cloudy bag, expected by 08:00" in page
    assert "No effluent sample recorded" not in page  # nobody is there to draw it from


def test_the_arrival_takes_the_line_from_today(bramble, patient, tern_quay):
    _open(bramble, patient)
    episode = Peritonitis.objects.get()
    address = f"/clinic/{tern_quay.uid}/episodes/{episode.uid}/arrival/"
    form = bramble.get(address).context["form"]
    sent = {bound.html_name: bound.value() or "" for bound in form}
    assert sent["presented_at"].startswith("2026-01-20T")
    arrived = sent | {"first_antibiotic_at": "2026-01-20T00:00", "presented_at": "2026-01-20T00:00"}
    assert bramble.post(address, arrived).status_code == 302
    page = bramble.get(f"/clinic/{tern_quay.uid}/today/").content.decode()
    assert "Cloudy bag" not in page


def test_a_fault_keeps_what_was_typed(bramble, patient):
    answer = _answers(bramble, _open(bramble, patient), call__pain_score="14")
    assert answer.status_code == 422 and 'value="14"' in answer.content.decode()


def test_the_second_of_two_sees_the_first_and_both_are_in(bramble, patient):
    address = _open(bramble, patient)
    first = bramble.get(address).context["forms"]
    stale = {field.html_name: field.value() or "" for field in first.hidden()}
    _answers(bramble, address, call__pain_score="4", episode__cloudy_effluent="yes")
    answer = bramble.post(address, stale | {"call-pain_score": "5", "call-lots": "LOT 7"})
    page = answer.content.decode()
    assert answer.status_code == 409 and "Nurse Bramble changed this call" in page
    assert "Written here meanwhile: <b>4</b>" in page and 'value="LOT 7"' in page
    forms = answer.context["forms"].forms
    merged = {field.html_name: field.value() or "" for form in forms for field in form}
    assert bramble.post(address, merged).status_code == 302
    call = Call.objects.get()
    assert (call.pain_score, call.lots, call.peritonitis.cloudy_effluent) == (5, "LOT 7", "yes")


def test_the_director_words_what_is_told(client, director, nurse, patient, tern_quay):
    backend = "django.contrib.auth.backends.ModelBackend"
    client.force_login(director, backend)
    sent = {
        "tell": "Bring the bag to gate 4 by [time].",
        "send_at_once": "Come to ward 7.",
        "reassessment_days": "90",
        "exit_site_check_days": "30",
        "retraining_days": "10",
        "long_stay_days": "7",
        "reason": "Our protocol of January.",
    }
    address = f"/clinic/{tern_quay.uid}/text/"
    assert client.post(address, sent | {"reason": "x"}).status_code == 422
    assert client.post(address, sent).status_code == 302
    assert ClinicText.objects.get().by == director
    assert AuditEvent.objects.get(thing="clinic_text").changes["reassessment_days"] == [180, 90]
    client.force_login(nurse, backend)
    assert client.get(address).status_code == 403
    page = client.get(_open(client, patient)).content.decode()
    assert "Bring the bag to gate 4 by the agreed time." in page and "Director Hazel" in page
