"""The exit-site check that leads to an infection; the observed exchange that leads to sign-off."""

from datetime import date

import pytest

from clinic.models import CatheterInfection, ExitSiteCheck, TechniqueObservation
from clinic.nursing_columns import TECHNIQUE_ITEMS
from tests.factories import make_patient, make_spell, make_training


@pytest.fixture
def patient(tern_quay):
    patient = make_patient(tern_quay)
    make_spell(patient)
    return patient


@pytest.fixture
def bramble(signed_in, nurse):
    return signed_in(nurse)


def _add(patient, subject):
    return f"/clinic/{patient.clinic.uid}/add/{subject}/{patient.uid}/"


def _page(client, patient):
    return client.get(f"/clinic/{patient.clinic.uid}/patients/{patient.uid}/").content.decode()


def test_pus_leads_to_the_infections_form_with_what_is_known(bramble, patient):
    sent = {"checked_on": "2026-01-19", "purulent_discharge": "yes", "redness": "2"}
    answer = bramble.post(_add(patient, "exit_site_checks"), sent)
    form = bramble.get(answer["Location"]).context["form"]
    assert form["onset_on"].value() == "2026-01-19" and form["site"].value() == "exit_site"
    assert "Record the infection" in _page(bramble, patient)
    known = {bound.html_name: bound.value() or "" for bound in form}
    assert bramble.post(answer["Location"], known).status_code == 302
    assert CatheterInfection.objects.get().purulent_discharge == "yes"
    assert "Record the infection" not in _page(bramble, patient)


def test_a_high_score_without_pus_creates_nothing(bramble, patient):
    sent = {"checked_on": "2026-01-19", "purulent_discharge": "no"}
    scored = dict.fromkeys(("swelling", "crust", "redness", "pain"), "2") | {"secretion": "1"}
    answer = bramble.post(_add(patient, "exit_site_checks"), sent | scored)
    assert answer["Location"].endswith(f"/patients/{patient.uid}/")
    page = _page(bramble, patient)
    assert "Score 9 of 10; shown, never counted." in page and "no infection by the rule" in page
    assert ExitSiteCheck.objects.exists() and not CatheterInfection.objects.exists()


def _observe(client, patient, **slips):
    given = dict.fromkeys(TECHNIQUE_ITEMS, "done") | slips
    sent = {"observed_on": "2026-01-19", "observer": "T-01"} | given
    return client.post(_add(patient, "technique_observations"), sent)


def test_an_exchange_without_critical_error_leads_to_the_sign_off(bramble, patient):
    training = make_training(patient, completed_on=date(2026, 1, 19))
    _observe(bramble, patient, mask_worn="not_done")
    page = _page(bramble, patient)
    assert "No critical error: ready to be signed off." in page
    assert "15 of 16 done unprompted" in page
    assert f"/amend/trainings/{training.uid}/" in page and "Sign the training off" in page


def test_a_sign_off_in_spite_of_a_critical_error_is_a_warning(bramble, patient):
    _observe(bramble, patient, hands_cleaned="prompted")
    assert "One critical error: hands cleaned" in _page(bramble, patient)
    sent = {"completed_on": "2026-01-19", "kind": "initial", "competent": "yes"}
    answer = bramble.post(_add(patient, "trainings"), sent, follow=True)
    assert "had critical errors: hands cleaned" in answer.content.decode()
    assert TechniqueObservation.objects.exists()


def test_a_patient_moves_away(bramble, patient):
    spell = patient.pdspell_rows.get()
    address = f"/clinic/{patient.clinic.uid}/amend/pd_spells/{spell.uid}/"
    form = bramble.get(address).context["form"]
    sent = {bound.html_name: bound.value() or "" for bound in form}
    bramble.post(address, sent | {"last_day_on": "2026-01-15", "end_reason": "moved"})
    assert "Moved to another clinic" in _page(bramble, patient)
    listed = bramble.get(f"/clinic/{patient.clinic.uid}/patients/").content.decode()
    assert "not on PD now" in listed
