"""Forms follow from the columns: every column has its field, its unit and its way of reading."""

import pytest
from django.http import QueryDict

from clinic.actions.refusals import Fault, Refused
from clinic.actions.rights import RIGHTS
from clinic.columns import SUBJECTS
from clinic.forms.first_contact import FirstContact
from clinic.forms.names import suggested_names
from clinic.forms.record_form import RecordForm, plain_words
from clinic.models import Catheter
from tests.factories import make_catheter, make_clinic, make_patient


@pytest.mark.parametrize("subject", RIGHTS)
def test_every_column_has_its_field_in_one_group(db, subject):
    form = RecordForm(subject=SUBJECTS[subject], clinic=make_clinic())
    shown = [asked.field.name for group in form.groups() for asked in group.fields]
    assert sorted(shown) == sorted(column.name for column in SUBJECTS[subject])


@pytest.mark.parametrize("subject", RIGHTS)
def test_required_columns_are_asked_for_by_name(db, subject):
    form = RecordForm(subject=SUBJECTS[subject], clinic=make_clinic(), data=QueryDict("x=1"))
    required = {column.name for column in SUBJECTS[subject] if column.required}
    assert set(form.errors) == required


def test_a_choice_that_nobody_knows_is_kept_as_empty(db):
    sent = QueryDict("started_on=2024-02-05&modality=not_known")
    form = RecordForm(subject=SUBJECTS["pd_spells"], clinic=make_clinic(), data=sent)
    assert form.is_valid() and form.values["modality"] == ""


def test_first_contact_asks_every_field_once(nurse, tern_quay):
    forms = FirstContact(patient=make_patient(tern_quay), by=nurse, data=None)
    shown = [asked.field.html_name for group in forms.groups() for asked in group.fields]
    assert len(shown) == len(set(shown))
    fields = {f"sample-{column.name}" for column in SUBJECTS["effluent_samples"]}
    assert fields < set(shown) and "isolate-organism" in shown


def test_the_first_free_name_is_proposed(tern_quay):
    patient = make_patient(tern_quay)
    make_catheter(patient, catheter="C1")
    make_catheter(patient, catheter="C3")
    assert suggested_names(Catheter, patient) == {"catheter": "C2"}


def test_a_fault_of_a_field_that_is_not_asked_stands_above_the_form(db):
    form = RecordForm(subject=SUBJECTS["pd_spells"], clinic=make_clinic(), data=QueryDict("x=1"))
    form.add_refusal(Refused(Fault("died_on", "started_on is after died_on.")))
    assert form.non_field_errors() == ["Started is after died."]


@pytest.mark.parametrize(
    ("sentence", "plain"),
    [
        ("last_day_on of PD spell of 5 Feb 2024", "Last day of PD spell of 5 Feb 2024"),
        ("after today (20 Jan 2026)", "After today (20 Jan 2026)"),
        ("", ""),
    ],
)
def test_column_names_become_words(sentence, plain):
    assert plain_words(sentence) == plain
