"""Every write stores its row and its event together, or neither."""

import uuid
from datetime import UTC, date, datetime, timedelta

import pytest
from django.core.exceptions import PermissionDenied

from clinic.actions.audit import data_version, first_broken_event, host_actor
from clinic.actions.episodes import record_episode
from clinic.actions.refusals import Conflict, Refused
from clinic.actions.subjects import (
    amend,
    record_admission,
    record_patient,
    record_spell,
    record_training,
    withdraw,
)
from clinic.actions.submissions import once
from clinic.models import AuditChain, AuditEvent, Isolate, Patient, PdSpell, Peritonitis
from tests.factories import make_isolate, make_patient, make_peritonitis, make_sample, make_spell

REASON = "Copied from the wrong line."


@pytest.fixture
def patient(tern_quay):
    return make_patient(tern_quay)


@pytest.fixture
def episode(patient):
    return make_peritonitis(patient, resolved="")


def _event(row):
    return AuditEvent.objects.filter(thing_uid=row.uid).latest("number")


def test_recording_writes_the_row_and_one_event(nurse, patient, tern_quay):
    values = {"started_on": date(2024, 2, 5), "modality": "capd", "end_reason": ""}
    spell = record_spell(parent=patient, by=nurse, values=values)
    event = _event(spell)
    assert (event.verb, event.actor, event.patient_uid) == ("record", "Nurse Bramble", patient.uid)
    assert event.changes == {"started_on": [None, "2024-02-05"], "modality": [None, "capd"]}
    assert spell.hand_columns == ["modality", "started_on"] and data_version(tern_quay) == 1


def test_filling_an_empty_field_needs_no_reason(nurse, episode):
    amended = amend(episode, by=nurse, version=1, values={"resolved": "yes"})
    assert (amended.resolved, amended.version) == ("yes", 2)
    assert _event(episode).changes == {"resolved": ["", "yes"]}


@pytest.mark.parametrize("reason", ["", "too short", " \n\t \u00a0 " * 5, "\u200b" * 20])
def test_changing_a_filled_field_needs_a_reason(nurse, episode, reason):
    with pytest.raises(Refused) as refused:
        amend(episode, by=nurse, version=1, values={"cloudy_effluent": "no"}, reason=reason)
    assert refused.value.faults[0].field == "reason" and not AuditEvent.objects.exists()


def test_a_changed_field_keeps_its_old_value_in_the_event(nurse, episode):
    amend(episode, by=nurse, version=1, values={"cloudy_effluent": "no"}, reason=REASON)
    event = _event(episode)
    assert (event.changes, event.reason) == ({"cloudy_effluent": ["yes", "no"]}, REASON)


def test_a_pending_culture_is_filled_without_a_reason(nurse, episode):
    sample = make_sample(episode, culture="pending")
    assert amend(sample, by=nurse, version=1, values={"culture": "grown"}).culture == "grown"


def test_a_stale_version_is_a_conflict_and_stores_nothing(nurse, data_manager, episode):
    amend(episode, by=nurse, version=1, values={"resolved": "yes"})
    with pytest.raises(Conflict) as conflict:
        amend(episode, by=data_manager, version=1, values={"judged_source": "touch"})
    assert conflict.value.row.resolved == "yes" and conflict.value.changed_by == "Nurse Bramble"
    assert Peritonitis.objects.get().judged_source == ""


def test_the_same_amendment_twice_is_one(nurse, episode):
    for _ in range(2):
        amend(episode, by=nurse, version=1, values={"resolved": "yes"})
    assert Peritonitis.objects.get().version == 2 and AuditEvent.objects.count() == 1


def test_another_clinics_nurse_may_not_write_here(nurse, saltmere):
    with pytest.raises(PermissionDenied):
        record_spell(parent=make_patient(saltmere), by=nurse, values={})


def test_a_director_judges_episodes_and_changes_nothing_else(director, episode):
    amend(episode, by=director, version=1, values={"judged_source": "touch"})
    with pytest.raises(Refused, match="nurse"):
        amend(episode, by=director, version=2, values={"onset_on": date(2025, 3, 9)}, reason=REASON)


def test_a_data_manager_says_why_a_spell_is_recorded(data_manager, patient):
    values = {"started_on": date(2024, 2, 5)}
    with pytest.raises(Refused):
        record_spell(parent=patient, by=data_manager, values=values)
    assert record_spell(parent=patient, by=data_manager, values=values, reason=REASON).pk


def test_the_same_key_twice_is_refused_by_name(nurse, patient):
    make_spell(patient)
    with pytest.raises(Refused, match="already one PD spell"):
        record_spell(parent=patient, by=nurse, values={"started_on": date(2024, 2, 5)})


def test_a_record_number_is_unique_in_its_clinic_only(nurse, tern_quay, saltmere):
    make_patient(saltmere, "P031")
    record_patient(parent=tern_quay, by=nurse, values={"number": "P031"})
    with pytest.raises(Refused, match="Tern Quay already has a patient P031"):
        record_patient(parent=tern_quay, by=nurse, values={"number": "P031"})


def test_a_withdrawn_episode_takes_its_samples_along(nurse, episode):
    isolate = make_isolate(make_sample(episode))
    withdraw(episode, by=nurse, version=1, reason=REASON)
    isolate.refresh_from_db()
    assert isolate.withdrawn_reason == REASON and isolate.effluent_sample.withdrawn_at
    assert AuditEvent.objects.filter(verb="withdraw").count() == 3


def test_a_withdrawn_row_is_not_amended(nurse, episode):
    withdraw(episode, by=nurse, version=1, reason=REASON)
    with pytest.raises(Refused, match="withdrawn"):
        amend(episode, by=nurse, version=2, values={"resolved": "yes"})


def test_a_withdrawn_row_leaves_its_key_free(data_manager, patient):
    spell = make_spell(patient)
    withdraw(spell, by=data_manager, version=1, reason=REASON)
    again = {"started_on": spell.started_on}
    record_spell(parent=patient, by=data_manager, values=again, reason=REASON)
    assert PdSpell.objects.filter(withdrawn_at=None).count() == 1


def test_a_patient_with_a_standing_spell_is_not_withdrawn(data_manager, patient):
    make_spell(patient)
    with pytest.raises(Refused, match="PD spell"):
        withdraw(patient, by=data_manager, version=1, reason=REASON)


@pytest.mark.parametrize(("hours", "allowed"), [(23, True), (25, False)])
def test_a_nurse_takes_back_her_own_training_for_a_day(nurse, patient, hours, allowed):
    values = {"completed_on": date(2024, 2, 9), "kind": "initial"}
    training = record_training(parent=patient, by=nurse, values=values)
    training.refresh_from_db()
    training.recorded_at = datetime.now(UTC) - timedelta(hours=hours)
    if allowed:
        assert withdraw(training, by=nurse, version=1, reason=REASON).withdrawn_at
    else:
        with pytest.raises(PermissionDenied, match="data manager"):
            withdraw(training, by=nurse, version=1, reason=REASON)


def test_an_admission_leads_to_its_episode(nurse, episode):
    values = {"admitted_on": date(2025, 3, 10), "episode": "E1"}
    assert record_admission(parent=episode.patient, by=nurse, values=values).peritonitis == episode
    with pytest.raises(Refused, match="No episode E9"):
        record_admission(
            parent=episode.patient,
            by=nurse,
            values={"admitted_on": date(2025, 4, 1), "episode": "E9"},
        )


def test_an_episode_its_sample_and_its_isolate_are_stored_together(nurse, patient):
    record_episode(
        patient=patient, by=nurse, episode={"episode": "E1", "onset_on": date(2025, 3, 10)},
        sample={"sample": "S1", "culture": "grown"}, isolate={"organism": "Escherichia coli"},
    )  # fmt: skip
    assert Isolate.objects.get().effluent_sample.peritonitis.patient == patient
    assert AuditEvent.objects.count() == 3


def test_a_fault_between_sample_and_isolate_stores_no_episode(nurse, patient):
    with pytest.raises(Refused, match="Escherichia coli grew in it"):
        record_episode(
            patient=patient, by=nurse, episode={"episode": "E1", "onset_on": date(2025, 3, 10)},
            sample={"sample": "S1", "culture": "no_growth"},
            isolate={"organism": "Escherichia coli"},
        )  # fmt: skip
    assert not Peritonitis.objects.exists() and not AuditEvent.objects.exists()


def test_the_samples_moment_is_onset_enough(nurse, patient):
    drawn = {"sample": "S1", "collected_at": datetime(2025, 3, 10, 9, tzinfo=UTC)}
    assert record_episode(patient=patient, by=nurse, episode={"episode": "E1"}, sample=drawn).pk


@pytest.mark.parametrize(
    ("values", "field"),
    [
        ({"onset_on": date(1961, 5, 13)}, "onset_on"),
        ({"therapy_completed_on": date(2025, 3, 9)}, "therapy_completed_on"),
    ],
)
def test_what_contradicts_the_patients_other_rows_is_refused(nurse, episode, values, field):
    with pytest.raises(Refused) as refused:
        amend(episode, by=nurse, version=1, values=values, reason=REASON)
    assert refused.value.faults[0].field == field


def test_what_is_only_odd_is_stored_and_said(nurse, patient):
    make_spell(patient)
    again = record_spell(parent=patient, by=nurse, values={"started_on": date(2025, 1, 1)})
    assert again.pk and any("overlap" in said for said in again.warnings)


def test_the_name_of_an_episode_stays(nurse, episode):
    with pytest.raises(Refused):
        amend(episode, by=nurse, version=1, values={"episode": "E9"}, reason=REASON)


def test_one_submission_key_makes_one_record(nurse, tern_quay):
    key, sent = uuid.uuid4(), {"number": "P031"}

    def make(uid):
        return record_patient(parent=tern_quay, by=nurse, values=sent, uid=uid)

    made = [once(by=nurse, key=key, subject="patients", sent=sent, make=make) for _ in range(2)]
    assert made[0] == made[1] and Patient.objects.count() == 1


def test_a_submission_key_with_other_content_is_refused(nurse, tern_quay):
    key = uuid.uuid4()

    def make(uid):
        return record_patient(parent=tern_quay, by=nurse, values={"number": "P031"}, uid=uid)

    once(by=nurse, key=key, subject="patients", sent={"number": "P031"}, make=make)
    with pytest.raises(Refused, match="sent before"):
        once(by=nurse, key=key, subject="patients", sent={"number": "P032"}, make=make)


def test_a_hosts_command_has_no_web_role_and_is_named(patient):
    spell = record_spell(parent=patient, by=host_actor(), values={"started_on": date(2024, 2, 5)})
    assert _event(spell).actor.startswith("host (") and spell.hand_columns == []


def test_the_chain_of_events_holds(nurse, episode):
    amend(episode, by=nurse, version=1, values={"resolved": "yes"})
    amend(episode, by=nurse, version=2, values={"resolved": "no"}, reason=REASON)
    assert first_broken_event(AuditChain.objects.get()) is None
