"""Gaps: warnings stand until settled, missing fields name their figures, names are mapped."""

from datetime import date

import pytest

from clinic.gaps import missing_fields, open_warnings
from clinic.models import LocalOrganismName, SettledGap
from surveillance.live import live
from tests.factories import (
    make_catheter,
    make_isolate,
    make_patient,
    make_peritonitis,
    make_sample,
    make_spell,
)

DAY = date(2026, 1, 20)


@pytest.fixture
def patient(tern_quay):
    patient = make_patient(tern_quay)
    make_spell(patient)
    return patient


@pytest.fixture
def bramble(signed_in, nurse):
    return signed_in(nurse)


@pytest.fixture
def address(tern_quay):
    return f"/clinic/{tern_quay.uid}/gaps/"


def _two_catheters(patient):
    make_catheter(patient)
    return make_catheter(patient, catheter="C2", inserted_on=date(2025, 3, 1))


def test_a_warning_is_listed_until_somebody_says_why_it_stands(
    bramble, address, patient, tern_quay
):
    _two_catheters(patient)
    (gap,) = [gap for gap in open_warnings(tern_quay) if "still in?" in gap.sentence]
    assert "C1 still in?" in bramble.get(address).content.decode()
    assert bramble.post(f"{address}{gap.key}/", {"reason": "no"}).status_code == 422
    sent = {"reason": "The first one is buried, not used."}
    assert bramble.post(f"{address}{gap.key}/", sent).status_code == 302
    assert gap.key not in {each.key for each in open_warnings(tern_quay)}
    assert SettledGap.objects.get().by.name == "Nurse Bramble"


def test_a_settled_warning_that_says_something_new_is_open_again(bramble, address, patient):
    second = _two_catheters(patient)
    for gap in open_warnings(patient.clinic):
        bramble.post(f"{address}{gap.key}/", {"reason": "Looked at, it stands."})
    assert open_warnings(patient.clinic) == []
    make_catheter(patient, catheter="C3", inserted_on=date(2025, 6, 1))
    assert ["C2 still in?" in gap.sentence for gap in open_warnings(patient.clinic)] == [True]
    assert second.removed_on is None


def test_an_odd_number_stays_a_warning_after_saving(patient, tern_quay):
    make_sample(make_peritonitis(patient), neutrophil_percent=0.88)
    assert any("88 would be written 88" in gap.sentence for gap in open_warnings(tern_quay))


def test_two_numbers_that_may_be_one_person_are_listed(patient, tern_quay):
    make_spell(make_patient(tern_quay, "P032"))
    assert any("same person as P032" in gap.sentence for gap in open_warnings(tern_quay))


def test_a_missing_field_names_the_figures_that_it_can_change(bramble, address, patient):
    episode = make_peritonitis(patient, therapy_completed_on=None)
    make_sample(episode, dwell_hours=None)
    (found,) = missing_fields(patient.clinic)
    said = {field.what: field.figures for field in found.fields}
    assert "peritonitis rate" in said["dwell of effluent sample S1"]
    assert "next episode" in said["last dose of peritonitis episode E1"]
    assert "no training at all" in said and "effluent sample of peritonitis" not in str(said)
    assert "Dwell of effluent sample S1" in bramble.get(address).content.decode()


def test_a_laboratorys_name_is_mapped_and_read_as_the_entry(bramble, address, patient, tern_quay):
    make_isolate(make_sample(make_peritonitis(patient)), organism="Staph aur. (Labor 7)")
    assert live(patient, DAY).cases[0]["organism_group"] == "other_organism"
    sent = {"name": "Staph aur. (Labor 7)", "organism": "Nothing such"}
    answer = bramble.post(f"{address}name/", sent)
    assert answer.status_code == 422 and "Not in the catalogue" in answer.content.decode()
    bramble.post(f"{address}name/", sent | {"organism": "S. aureus"})
    assert LocalOrganismName.objects.get().scientific_name == "Staphylococcus aureus"
    assert live(patient, DAY).cases[0]["organism_group"] == "staphylococcus_aureus"
    assert "to map" not in bramble.get(address).content.decode()


def test_a_directors_and_another_clinics_nurse_see_no_gaps(signed_in, director, address):
    assert signed_in(director).get(address).status_code == 403
