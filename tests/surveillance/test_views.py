"""The Patient and Episode pages say what the method says, with the numbers that decide."""

import re
from datetime import UTC, date, datetime

import pytest
from django.utils.html import strip_tags

from tests.factories import (
    make_catheter,
    make_catheter_infection,
    make_contamination,
    make_isolate,
    make_patient,
    make_peritonitis,
    make_sample,
    make_spell,
    make_training,
)


@pytest.fixture
def patient(tern_quay):
    row = make_patient(tern_quay, "TQ-041")
    make_spell(row)
    return row


@pytest.fixture
def first(patient):
    """March 2025: confirmed, counted, last dose on the 31st."""
    episode = make_peritonitis(patient, resolved="yes")
    make_isolate(make_sample(episode, collected_at=datetime(2025, 3, 10, 10, 15, tzinfo=UTC)))
    return episode


@pytest.fixture
def read(signed_in, nurse):
    """The words of a page of Tern Quay, as a reader sees them."""

    def read(row, person=nurse):
        kind = "patients" if row.subject.name == "patients" else "episodes"
        clinic = row.clinic if kind == "patients" else row.patient.clinic
        answer = signed_in(person).get(f"/clinic/{clinic.uid}/{kind}/{row.uid}/")
        assert answer.status_code == 200
        return " ".join(strip_tags(re.sub(r"<svg.*?</svg>", "", answer.content.decode())).split())

    return read


def test_a_confirmed_episode_shows_each_criterion_with_its_numbers(read, first):
    page = read(first)
    assert "Confirmed peritonitis, new. Counted." in page
    assert "All three are met, so the episode is confirmed." in page
    assert "Cloudy effluent: yes. Abdominal pain: yes." in page
    assert "2,300 per µL, 88 % neutrophils, dwell 4 h (S1)" in page
    assert "Staphylococcus aureus" in page and "over 100 per µL and over 50 % neutrophils" in page


def test_a_relapse_names_the_gap_and_the_episode_that_counts(read, patient, first):
    second = make_peritonitis(
        patient, episode="E2", onset_on=date(2025, 4, 18), therapy_completed_on=None
    )
    make_isolate(make_sample(second))
    page = read(second)
    assert "Not counted: relapse of the episode of 10 Mar 2025." in page
    assert "Relapsing: 18 days after the last dose for the episode of 10 Mar 2025" in page
    assert "The earlier episode" in page and "The day of the last dose" in page


@pytest.mark.parametrize(
    ("sample", "missing"),
    [
        (None, "An effluent sample with its cell count."),
        ({"dwell_hours": None}, "How long the fluid dwelt"),
        ({"leucocytes_per_ul": None}, "The count of white cells."),
        ({"neutrophil_percent": None}, "The share of neutrophils."),
        ({"dwell_hours": 1.0}, "A count after a dwell of 2 hours or more."),
    ],
)
def test_what_is_missing_is_asked_for_by_name(read, patient, sample, missing):
    episode = make_peritonitis(patient)
    if sample is not None:
        make_sample(episode, **{"culture": "pending"} | sample)
    page = read(episode)
    assert "Suspected peritonitis. Not counted: cannot tell yet" in page
    assert missing in page and "The result of a culture." in page


def test_an_episode_that_cannot_reach_two_criteria_is_ruled_out(read, patient):
    episode = make_peritonitis(patient, cloudy_effluent="no", abdominal_pain="no")
    make_sample(episode, leucocytes_per_ul=40, culture="no_growth")
    assert "Ruled out: peritonitis. Not counted: fewer than two criteria met." in read(episode)


def test_an_onset_off_risk_is_listed_and_not_counted(read, tern_quay):
    episode = make_peritonitis(make_patient(tern_quay, "TQ-100"))
    make_isolate(make_sample(episode))
    assert "it is listed, not counted" in read(episode)


def test_an_infection_of_both_sites_has_a_verdict_for_each(read, patient):
    row = make_catheter_infection(patient, site="both", tunnel_inflammation="no")
    row.tunnel_collection = "no"
    row.save()
    page = read(row)
    assert "Confirmed exit-site infection, new. Counted." in page
    assert "Ruled out: tunnel infection." in page


@pytest.mark.parametrize(
    ("resolved", "said"),
    [
        ("", "Whether it was cured is not recorded; until it is, it counts as no cure."),
        ("unknown", "Whether it was cured is not recorded; until it is, it counts as no cure."),
        ("no", "Not a cure."),
    ],
)
def test_a_cure_that_nobody_judged_is_not_said_to_have_failed(read, first, resolved, said):
    type(first).objects.update(resolved=resolved)
    assert said in read(first)


def test_cure_waits_until_it_can_be_told(read, patient):
    episode = make_peritonitis(
        patient, onset_on=date(2026, 1, 2), therapy_completed_on=date(2026, 1, 16), resolved=""
    )
    make_isolate(make_sample(episode))
    page = read(episode)
    assert "Cure cannot be told before 13 Feb 2026." in page and "cannot tell yet" in page


def test_an_episode_without_any_day_has_a_page_too(read, patient):
    episode = make_peritonitis(patient, onset_on=None, therapy_completed_on=None)
    assert "no day of onset up to today" in read(episode)


def test_the_patient_page_tells_every_event_in_words(read, patient, first):
    make_training(patient, competent="yes")
    make_catheter(patient)
    make_contamination(patient, happened_at=datetime(2025, 3, 6, 9, tzinfo=UTC))
    page = read(patient)
    assert "One episode of peritonitis, counted." in page
    assert "716 days at risk so far." in page  # 5 Feb 2024 to 20 Jan 2026, both counted
    assert "Peritonitis, new. Staphylococcus aureus; counted." in page
    assert "Initial training, competent." in page and "Wet contamination." in page


def test_the_last_twelve_months_leave_earlier_events_out(signed_in, nurse, patient):
    make_training(patient)
    address = f"/clinic/{patient.clinic.uid}/patients/{patient.uid}/?view=year"
    page = signed_in(nurse).get(address).content.decode()
    assert "Nothing is recorded in the last twelve months." in page


def test_a_director_reads_and_is_offered_the_judgement_alone(read, director, first):
    page = read(first, director)
    assert "Judge the outcome" in page and "Add a sample" not in page


def test_who_changed_what_is_told_with_the_reason(signed_in, read, nurse, first):
    from clinic.actions.subjects import amend

    amend(first, by=nurse, version=1, values={"resolved": "no"}, reason="Fever came back.")
    page = read(first)
    assert "Nurse Bramble amended: Resolved: yes → no “Fever came back.”" in page


@pytest.mark.parametrize("kind", ["patients", "episodes"])
def test_another_clinics_pages_are_like_none_at_all(signed_in, nurse, saltmere, tern_quay, kind):
    other = make_peritonitis(make_patient(saltmere))
    uid = other.patient.uid if kind == "patients" else other.uid
    for clinic in (saltmere, tern_quay):
        assert signed_in(nurse).get(f"/clinic/{clinic.uid}/{kind}/{uid}/").status_code == 404


@pytest.mark.parametrize("role", ["auditor", "administrator"])
def test_who_may_not_read_patients_is_refused_before_any_look_up(signed_in, request, role, first):
    client = signed_in(request.getfixturevalue(role))
    clinic = first.patient.clinic.uid
    assert client.get(f"/clinic/{clinic}/episodes/{first.uid}/").status_code == 403
    assert client.get(f"/clinic/{clinic}/patients/{first.patient.uid}/").status_code == 403


def test_an_organism_as_typed_runs_nowhere(signed_in, nurse, patient):
    episode = make_peritonitis(patient)
    make_isolate(make_sample(episode), organism="<img src=x onerror=alert(1)>Kleb")
    client = signed_in(nurse)
    for address in (f"episodes/{episode.uid}", f"patients/{patient.uid}"):
        page = client.get(f"/clinic/{patient.clinic.uid}/{address}/").content.decode()
        assert "<img" not in page and "&lt;img" in page


def test_an_infection_and_a_peritonitis_near_it_lead_to_each_other(read, patient):
    episode = make_peritonitis(patient, onset_on=date(2025, 5, 1), therapy_completed_on=None)
    make_isolate(make_sample(episode))
    infection = make_catheter_infection(patient, organism="S. aureus", refractory="no")
    make_catheter_infection(patient, infection="X9", onset_on=date(2024, 9, 1))
    page = read(infection)
    assert "Peritonitis E1 of 1 May 2025, catheter-related" in page
    assert "S. aureus" in page and "As it was entered" in page
    page = read(episode)
    assert "Exit-site infection X1 of 5 Jun 2025" in page and "X9" not in page
