"""Closing, dissent, withdrawal with its effects, restoring: said beside the record, and logged."""

from datetime import UTC, date, datetime

import pytest

from clinic.models import AuditEvent, Dissent, EffluentSample, Peritonitis
from tests.factories import make_isolate, make_patient, make_peritonitis, make_sample, make_spell

REASON = "Copied from the wrong line."


@pytest.fixture
def patient(tern_quay):
    patient = make_patient(tern_quay)
    make_spell(patient)
    return patient


def _episode(patient, name, onset_on, ended_on=None):
    row = make_peritonitis(
        patient, episode=name, onset_on=onset_on, therapy_completed_on=ended_on, resolved=""
    )
    make_isolate(make_sample(row))
    return row


@pytest.fixture
def first(patient):
    return _episode(patient, "E1", date(2025, 3, 10), date(2025, 3, 31))


@pytest.fixture
def relapse(patient, first):
    return _episode(patient, "E2", date(2025, 4, 20))


def _page(client, row, step=""):
    return f"/clinic/{row.patient.clinic.uid}/episodes/{row.uid}/{step}"


def _opened(client, address):
    form = client.get(address).context["form"]
    return {bound.html_name: bound.value() or "" for bound in form}


def test_a_suspected_episode_is_closed_with_a_reason_and_counts_as_before(
    signed_in, nurse, patient
):
    client = signed_in(nurse)
    row = make_peritonitis(
        patient, cloudy_effluent="", abdominal_pain="yes", therapy_completed_on=None
    )
    address = _page(client, row, "closing/")
    assert "close it" in client.get(_page(client, row)).content.decode()
    sent = _opened(client, address) | {"closed_as": "ruled_out"}
    page = client.post(address, sent)
    assert page.status_code == 422 and "say why nothing more will come" in page.content.decode()
    assert client.post(address, sent | {"closed_because": "Clear bag on day 2"}).status_code == 302
    page = client.get(_page(client, row)).content.decode()
    assert "Closed as ruled out: Clear bag on day 2" in page and "Suspected peritonitis" in page


def test_a_director_dissents_under_the_own_name_and_nothing_else_changes(
    signed_in, director, relapse
):
    client = signed_in(director)
    address = _page(client, relapse, "dissent/")
    assert client.post(address, {"category": "new", "reason": "x"}).status_code == 422
    sent = {"category": "recurrent", "reason": "Another strain by its antibiogram."}
    assert client.post(address, sent).status_code == 302
    page = client.get(_page(client, relapse)).content.decode()
    assert "Director Hazel, 20 Jan 2026" in page
    assert "holds it for recurrent. “Another strain by its antibiogram.”" in page
    assert "Not counted: relapse of the episode of 10 Mar 2025." in page
    assert Dissent.objects.get().by == director and AuditEvent.objects.filter(verb="dissent")


def test_a_nurse_may_not_dissent(signed_in, nurse, relapse):
    client = signed_in(nurse)
    assert client.get(_page(client, relapse, "dissent/")).status_code == 403
    assert "Dissent, with a reason" not in client.get(_page(client, relapse)).content.decode()


# bad_inputs.csv L14
def test_withdrawing_says_what_else_becomes_of_it_and_leaves_nothing(
    signed_in, nurse, first, relapse, signed_quarter
):
    address = f"/clinic/{first.patient.clinic.uid}/withdraw/peritonitis/{first.uid}/"
    page = signed_in(nurse).get(address).content.decode()
    assert "E2 becomes new and will count from now on." in page
    assert "Restating is due for every signed quarter that this touches: 2025-Q1." in page
    assert Peritonitis.objects.filter(withdrawn_at=None).count() == 2


@pytest.fixture
def signed_quarter(tern_quay, nurse, director):
    from surveillance.models import Snapshot

    at = datetime(2025, 4, 20, 9, tzinfo=UTC)
    return Snapshot.objects.create(
        clinic=tern_quay, through="2025-Q1", rule_set="rule_2022", as_of=date(2025, 4, 20),
        data_version=1, state="signed", version=1, prepared_by=nurse, prepared_at=at,
        signed_by=director, signed_at=at, digest="x" * 64, software_version="test",
    )  # fmt: skip


def test_what_was_withdrawn_together_comes_back_together(
    client, nurse, data_manager, first, relapse
):
    backend = "django.contrib.auth.backends.ModelBackend"
    client.force_login(nurse, backend)
    clinic = first.patient.clinic.uid
    sent = {"version": 1, "reason": REASON}
    client.post(f"/clinic/{clinic}/withdraw/peritonitis/{first.uid}/", sent)
    address = f"/clinic/{clinic}/restore/peritonitis/{first.uid}/"
    assert client.get(address).status_code == 403
    client.force_login(data_manager, backend)
    patient = f"/clinic/{clinic}/patients/{first.patient.uid}/"
    assert address in client.get(patient).content.decode()
    assert client.post(address, {"reason": "It was right after all."}).status_code == 302
    assert Peritonitis.objects.filter(withdrawn_at=None).count() == 2
    assert EffluentSample.objects.filter(withdrawn_at=None).count() == 2


def test_checking_says_category_and_gap_and_stores_nothing(signed_in, nurse, first):
    address = f"/clinic/{first.patient.clinic.uid}/patients/{first.patient.uid}/episode/"
    sent = {
        "check": "yes",
        "episode-episode": "E2",
        "episode-onset_on": "2025-04-18",
        "episode-cloudy_effluent": "yes",
        "sample-sample": "S1",
        "sample-culture": "grown",
        "isolate-organism": "S. aureus",
    }
    page = signed_in(nurse).post(address, sent).content.decode()
    assert "Relapsing: 18 days after the last dose for the episode of 10 Mar 2025" in page
    assert "Not saved yet." in page and 'value="2025-04-18"' in page
    assert Peritonitis.objects.count() == 1 and not AuditEvent.objects.filter(verb="record")
