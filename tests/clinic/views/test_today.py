"""Today: a line for each thing due, gone when it is written."""

import pytest

from clinic.due import due_list
from clinic.models import ClinicText, ExitSiteCheck, Therapy
from tests.clinic.one_day import DAY, ago, at
from tests.factories import (
    make_catheter_infection,
    make_isolate,
    make_patient,
    make_peritonitis,
    make_sample,
    make_spell,
    make_training,
)


@pytest.fixture
def patient(tern_quay):
    return make_patient(tern_quay, "TQ-088")


def _episode(patient, days, **fields):
    return make_peritonitis(
        patient, onset_on=ago(days), therapy_completed_on=None, **{"resolved": ""} | fields
    )


def _said(clinic):
    return [(line.what, line.days_over(DAY)) for line in due_list(clinic, DAY)]


def test_an_episode_without_a_sample_is_due_on_its_day(patient, tern_quay):
    _episode(patient, 0)
    assert _said(tern_quay) == [("No effluent sample recorded", 0)]


def test_a_pending_culture_is_due_on_the_third_day(patient, tern_quay):
    sample = make_sample(
        _episode(patient, 4, first_antibiotic_at=at(0)), culture="pending", collected_at=at(4)
    )
    assert _said(tern_quay) == [("Culture not back", 1)]
    sample.culture = "no_growth"
    sample.save()
    assert _said(tern_quay) == []


def test_growth_without_a_name_is_due(patient, tern_quay):
    sample = make_sample(_episode(patient, 4, first_antibiotic_at=at(0)), collected_at=at(4))
    assert _said(tern_quay) == [("Culture grew, organism not entered", 1)]
    make_isolate(sample)
    assert _said(tern_quay) == []


def test_the_count_of_day_5_counts_from_the_first_antibiotic(patient, tern_quay):
    episode = _episode(patient, 9, first_antibiotic_at=at(8))
    make_sample(episode, culture="no_growth", collected_at=at(9))
    assert _said(tern_quay) == [("Day-5 cell count and appearance not entered", 3)]
    make_sample(episode, sample="S2", culture="no_growth", collected_at=at(3))
    assert _said(tern_quay) == []


def test_the_count_of_day_3_is_due_until_day_5_comes(patient, tern_quay):
    episode = _episode(patient, 4, first_antibiotic_at=at(4))
    make_sample(episode, culture="no_growth", collected_at=at(4))
    assert _said(tern_quay) == [("Day-3 cell count not entered", 1)]
    make_sample(episode, sample="S2", culture="no_growth", collected_at=at(1))
    assert _said(tern_quay) == []


def test_the_planned_end_of_therapy_stands_in_for_the_usual_one(patient, tern_quay):
    episode = _episode(patient, 60, judged_refractory="no")
    make_sample(episode, culture="no_growth", collected_at=at(60))
    Therapy.objects.create(
        peritonitis=episode, agent="cefazolin", first_dose_on=ago(60), planned_last_dose_on=ago(2)
    )
    assert _said(tern_quay) == [("Planned end of therapy: cefazolin", 2)]


def test_a_closed_episode_leaves_the_list(patient, tern_quay):
    _episode(patient, 3, closed_as="ruled_out", closed_because="Clear bag, no pain.")
    assert _said(tern_quay) == []


def test_reassessments_follow_the_clinics_own_schedule(patient, tern_quay, director):
    make_spell(patient)
    make_training(patient, completed_on=ago(100), competent="yes")
    assert _said(tern_quay) == []
    ClinicText.objects.create(
        clinic=tern_quay, tell="x", send_at_once="x", by=director,
        reassessment_days=90, exit_site_check_days=60,
    )  # fmt: skip
    assert _said(tern_quay) == [("Reassessment of technique", 10)]


def test_an_exit_site_with_a_finding_is_looked_at_again_sooner(patient, tern_quay):
    make_spell(patient)
    check = ExitSiteCheck.objects.create(patient=patient, checked_on=ago(20), appearance="good")
    assert _said(tern_quay) == []
    check.crust = "1"
    check.save()
    assert _said(tern_quay) == [("Exit-site check", 6)]


def test_the_last_dose_then_the_outcome(patient, tern_quay):
    episode = _episode(patient, 60, judged_refractory="no")
    make_sample(episode, culture="no_growth", collected_at=at(60))
    assert _said(tern_quay) == [("Last dose not entered", 39)]
    episode.therapy_completed_on = ago(31)
    episode.save()
    assert _said(tern_quay) == [("30-day check: outcome not judged", 1)]
    episode.resolved = "yes"
    episode.save()
    assert _said(tern_quay) == []


def test_an_exit_site_infection_waits_for_its_last_dose(patient, tern_quay):
    make_catheter_infection(patient, onset_on=ago(22))
    assert _said(tern_quay) == [("Last dose of the exit-site infection not entered", 1)]


def test_old_withdrawn_and_died_patients_episodes_are_not_due(patient, tern_quay):
    _episode(patient, 200)
    _episode(make_patient(tern_quay, "TQ-002", died_on=ago(1)), 3)
    _episode(patient, 3, episode="E2", withdrawn_at=at(1), withdrawn_reason="Entered in error.")
    assert _said(tern_quay) == []


def test_the_page_says_who_what_since_when_and_links_the_form(signed_in, nurse, patient, tern_quay):
    episode = _episode(patient, 3)
    page = signed_in(nurse).get(f"/clinic/{tern_quay.uid}/today/").content.decode()
    assert "One overdue." in page and "3 days over" in page and "TQ-088" in page
    assert f"/clinic/{tern_quay.uid}/add/effluent_samples/{episode.uid}/" in page


def test_a_director_reads_the_list_without_forms(signed_in, director, patient, tern_quay):
    _episode(patient, 3)
    page = signed_in(director).get(f"/clinic/{tern_quay.uid}/today/").content.decode()
    assert "3 days over" in page and "Enter the sample" not in page


def test_with_nothing_due_the_page_says_so(signed_in, nurse, tern_quay):
    page = signed_in(nurse).get(f"/clinic/{tern_quay.uid}/today/").content.decode()
    assert "Nothing is due today." in page


def test_an_action_long_overdue_stands_on_gaps_and_no_more_on_today(patient, tern_quay):
    from clinic.gaps import missing_fields
    from clinic.models import RootCauseReview

    episode = make_peritonitis(patient, resolved="yes", first_antibiotic_at=at(300))
    review = RootCauseReview.objects.create(
        peritonitis=episode, reviewed_on=ago(290), action="Observe at home", due_on=ago(181)
    )
    assert _said(tern_quay) == []
    (found,) = missing_fields(tern_quay)
    assert any("action of root-cause review" in field.what for field in found.fields)
    review.due_on = ago(170)
    review.save()
    assert _said(tern_quay) == [("Action of the root-cause review", 170)]
