"""A new episode on one page: the episode, its sample and the organism, all or nothing."""

import uuid

import pytest

from clinic.models import AuditEvent, EffluentSample, Isolate, Patient, Peritonitis
from tests.factories import make_patient, make_peritonitis

SENT = {
    "episode-episode": "E1",
    "episode-onset_on": "2026-01-18",
    "episode-cloudy_effluent": "yes",
    "episode-abdominal_pain": "unknown",
}
SAMPLE = {
    "sample-sample": "S1",
    "sample-collected_at": "2026-01-18T09:40",
    "sample-dwell_hours": "4",
    "sample-leucocytes_per_ul": "2300",
    "sample-neutrophil_percent": "88",
    "sample-culture": "grown",
    "isolate-organism": "Staphylococcus aureus",
}


@pytest.fixture
def address(tern_quay):
    return f"/clinic/{tern_quay.uid}/patients/{make_patient(tern_quay).uid}/episode/"


@pytest.fixture
def bramble(signed_in, nurse):
    return signed_in(nurse)


def test_episode_sample_and_organism_are_saved_together(bramble, address, tern_quay):
    answer = bramble.post(address, SENT | SAMPLE)
    episode = Peritonitis.objects.get()
    assert answer["Location"] == f"/clinic/{tern_quay.uid}/episodes/{episode.uid}/"
    assert (episode.cloudy_effluent, episode.abdominal_pain) == ("yes", "unknown")
    assert Isolate.objects.get().effluent_sample.leucocytes_per_ul == 2300
    assert AuditEvent.objects.exclude(verb="read").count() == 3


def test_a_proposed_sample_name_alone_makes_no_sample(bramble, address):
    assert bramble.post(address, SENT | {"sample-sample": "S1"}).status_code == 302
    assert not EffluentSample.objects.exists()


def test_an_organism_without_growth_is_asked_about(bramble, address):
    answer = bramble.post(address, SENT | SAMPLE | {"sample-culture": "pending"})
    assert answer.status_code == 422 and "a culture that grew" in answer.content.decode()
    assert not Peritonitis.objects.exists()


def test_faults_of_all_three_stand_in_one_summary(bramble, address):
    sent = SENT | SAMPLE | {"episode-onset_on": "2026-02-30", "sample-neutrophil_percent": "101"}
    page = bramble.post(address, sent).content.decode()
    assert 'href="#id_episode-onset_on"' in page and 'href="#id_sample-neutrophil_percent"' in page
    assert 'value="Staphylococcus aureus"' in page


def test_pressing_twice_makes_one_episode(bramble, address):
    sent = SENT | SAMPLE | {"episode-submission": str(uuid.uuid4())}
    first, second = (bramble.post(address, sent)["Location"] for _ in range(2))
    assert first == second and Peritonitis.objects.count() == 1


def test_the_next_free_name_is_proposed(bramble, address):
    make_peritonitis(Patient.objects.get(), episode="E1")
    assert 'value="E2"' in bramble.get(address).content.decode()
