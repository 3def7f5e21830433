"""Retraining after an event, sign-offs and newly arrived results on Today.

Which events ask for a retraining: standards 8.1 (JSDT 2019 Table 9); a contamination and a failed
observation: common practice, no source.
"""

import pytest

from clinic.actions.audit import SCHEDULE
from clinic.actions.writing import amend, record
from clinic.due import arrivals, due_list
from clinic.models import ClinicText, EffluentSample, Isolate, TechniqueObservation
from clinic.nursing_columns import CRITICAL_ITEMS
from tests.clinic.one_day import DAY, ago, at
from tests.factories import (
    make_admission,
    make_catheter_infection,
    make_contamination,
    make_patient,
    make_pause,
    make_peritonitis,
    make_sample,
    make_spell,
    make_training,
)


@pytest.fixture
def patient(tern_quay):
    patient = make_patient(tern_quay, "TQ-088")
    make_spell(patient)
    make_training(patient, completed_on=ago(100), competent="yes")
    return patient


def _retraining(clinic):
    return [
        (line.detail, line.days_over(DAY))
        for line in due_list(clinic, DAY)
        if line.what == "Retraining due"
    ]


def _said(clinic, what):
    return [line for line in due_list(clinic, DAY) if line.what.startswith(what)]


_EVENTS = {
    "peritonitis": (
        lambda patient: make_peritonitis(
            patient, onset_on=ago(41), therapy_completed_on=ago(20), resolved="yes"
        ),
        ("peritonitis of 10 December", 6),
    ),
    "exit site": (
        lambda patient: make_catheter_infection(
            patient, onset_on=ago(30), therapy_completed_on=ago(15), refractory="no"
        ),
        ("exit-site infection of 21 December", 1),
    ),
    "long stay": (
        lambda patient: make_admission(patient, admitted_on=ago(29), discharged_on=ago(15)),
        ("14 days in hospital to 5 January", 1),
    ),
    "pause": (
        lambda patient: make_pause(patient, started_on=ago(30), last_day_on=ago(20)),
        ("PD paused to 31 December", 6),
    ),
    "contamination": (
        lambda patient: make_contamination(patient, happened_at=at(14)),
        ("wet contamination of 6 January", 0),
    ),
    "observation": (
        lambda patient: _observe(patient, 16, hands_cleaned="not_done"),
        ("critical error observed on 4 January", 2),
    ),
}  # fmt: skip


def _observe(patient, days, **items):
    done = dict.fromkeys(CRITICAL_ITEMS, "done")
    return TechniqueObservation.objects.create(
        patient=patient, observed_on=ago(days), **done | items
    )


@pytest.mark.parametrize("event", _EVENTS)
def test_a_retraining_is_due_after_the_event_until_one_is_entered(patient, tern_quay, event):
    make, expected = _EVENTS[event]
    make(patient)
    assert _retraining(tern_quay) == [expected]
    make_training(patient, completed_on=ago(1), kind="triggered", competent="yes")
    assert _retraining(tern_quay) == []


def test_a_training_on_the_day_of_the_event_was_caused_by_it(patient, tern_quay):
    make_contamination(patient, happened_at=at(14))
    make_training(patient, completed_on=ago(14), kind="triggered", competent="yes")
    assert _retraining(tern_quay) == []


@pytest.mark.parametrize(
    "nothing",
    [
        lambda patient: make_admission(patient, admitted_on=ago(28), discharged_on=ago(15)),
        lambda patient: make_peritonitis(
            patient,
            onset_on=ago(40),
            therapy_completed_on=None,
            closed_as="ruled_out",
            closed_because="Clear on day 2.",
        ),
        lambda patient: make_contamination(patient, happened_at=at(200)),
        lambda patient: _observe(patient, 16),
        lambda patient: [_observe(patient, 16, new_cap="not_done"), _observe(patient, 15)],
    ],
    ids=["short stay", "ruled out", "long ago", "no error", "observed again"],
)
def test_what_asks_for_no_retraining(patient, tern_quay, nothing):
    nothing(patient)
    assert _retraining(tern_quay) == []


def test_several_events_are_one_line_and_the_scheduled_one_waits(patient, tern_quay):
    make_contamination(patient, happened_at=at(20))
    make_contamination(patient, happened_at=at(15), kind="dry")
    schedule = {"reassessment_days": 90, "exit_site_check_days": 60}
    _schedule(tern_quay, patient, **schedule)
    assert _retraining(tern_quay) == [
        ("wet contamination of 31 December; dry contamination of 5 January", 6)
    ]
    assert _said(tern_quay, "Reassessment") == []


def _schedule(clinic, patient, **days):
    from tests.factories import make_person

    days = {"reassessment_days": 180, "exit_site_check_days": 90} | days
    ClinicText.objects.create(
        clinic=clinic, tell="x", send_at_once="x", by=make_person("heron"), **days
    )


def test_the_days_are_the_clinics_own(patient, tern_quay):
    make_admission(patient, admitted_on=ago(20), discharged_on=ago(15))
    assert _retraining(tern_quay) == []
    _schedule(tern_quay, patient, long_stay_days=5, retraining_days=10)
    assert _retraining(tern_quay) == [("5 days in hospital to 5 January", 5)]


def test_who_left_pd_is_not_retrained(tern_quay):
    patient = make_patient(tern_quay)
    make_spell(patient, last_day_on=ago(10))
    make_contamination(patient, happened_at=at(20))
    assert _retraining(tern_quay) == []


def test_a_training_waits_for_its_observation_and_then_for_its_sign_off(patient, tern_quay):
    training = make_training(patient, completed_on=ago(9), kind="scheduled", competent="")
    (line,) = _said(tern_quay, "Technique")
    assert (line.action, line.days_over(DAY)) == ("Observe an exchange", 2)
    _observe(patient, 8)
    (line,) = _said(tern_quay, "Technique")
    assert line.what == "Technique sign-off" and line.form == ("amend", "trainings", training)
    training.competent = "yes"
    training.save()
    assert _said(tern_quay, "Technique") == []


def test_an_error_at_the_observation_is_retrained_not_signed_off(patient, tern_quay):
    make_training(patient, completed_on=ago(19), kind="scheduled", competent="")
    _observe(patient, 16, new_cap="prompted")
    assert _said(tern_quay, "Technique") == []
    assert _retraining(tern_quay) == [("critical error observed on 4 January", 2)]


def test_a_result_that_another_entered_is_new_for_two_days(patient, tern_quay, nurse, data_manager):
    episode = make_peritonitis(patient, onset_on=ago(3), therapy_completed_on=None)
    sample = make_sample(episode, culture="pending", collected_at=at(3))
    amend(sample, by=data_manager, version=1, values={"culture": "grown"}, reason="Telephoned.")
    (arrival,) = arrivals(tern_quay, nurse)
    assert (arrival.what, arrival.actor) == ("Culture grew, not yet named", data_manager.name)
    record(Isolate, parent=sample, by=SCHEDULE, values={"organism": "S. aureus"})
    assert [one.what for one in arrivals(tern_quay, nurse)] == [
        "Culture grew Staphylococcus aureus"
    ]
    assert len(arrivals(tern_quay, data_manager)) == 1  # the organism, which a machine entered


def test_a_sample_still_pending_is_no_result(patient, tern_quay, nurse, data_manager):
    episode = make_peritonitis(patient, onset_on=ago(3), therapy_completed_on=None)
    values = {"sample": "S1", "culture": "pending"}
    record(EffluentSample, parent=episode, by=data_manager, values=values, reason="By telephone.")
    assert arrivals(tern_quay, nurse) == []


def test_older_results_and_other_clinics_are_not_new(
    patient, tern_quay, saltmere, nurse, data_manager, monkeypatch
):
    monkeypatch.setenv("TODAY", "2026-01-17")
    sample = make_sample(make_patient_episode(saltmere), culture="pending")
    record(Isolate, parent=sample, by=SCHEDULE, values={"organism": "S. aureus"})
    ours = make_sample(
        make_peritonitis(patient, onset_on=ago(9), therapy_completed_on=None), culture="pending"
    )
    record(Isolate, parent=ours, by=SCHEDULE, values={"organism": "S. aureus"})
    assert len(arrivals(tern_quay, nurse)) == 1
    monkeypatch.setenv("TODAY", "2026-01-20")
    assert arrivals(tern_quay, nurse) == []


def make_patient_episode(clinic):
    patient = make_patient(clinic)
    make_spell(patient)
    return make_peritonitis(patient, onset_on=ago(9), therapy_completed_on=None)


def test_the_page_leads_from_the_result_to_its_episode(
    patient, tern_quay, nurse, data_manager, signed_in
):
    episode = make_peritonitis(patient, onset_on=ago(3), therapy_completed_on=None)
    sample = make_sample(episode, culture="grown", collected_at=at(3))
    record(
        Isolate,
        parent=sample,
        by=data_manager,
        values={"organism": "E. coli"},
        reason="It came by fax.",
    )
    page = signed_in(nurse).get(f"/clinic/{tern_quay.uid}/today/").content.decode()
    assert "one result newly arrived" in page and "Culture grew Escherichia coli" in page
    assert f"/clinic/{tern_quay.uid}/episodes/{episode.uid}/" in page
