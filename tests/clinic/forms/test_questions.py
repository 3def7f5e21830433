"""What is asked before an odd value is stored, and what is not."""

import pytest

from clinic.columns import SUBJECTS
from clinic.forms.fields import CellField
from clinic.forms.questions import question_about
from tests.factories import make_clinic


@pytest.fixture
def field(db):
    clinic = make_clinic()

    def field(name):
        return CellField(SUBJECTS["effluent_samples"].column(name), clinic)

    return field


@pytest.mark.parametrize(
    ("column", "typed", "answers"),
    [
        ("leucocytes_per_ul", "0.65", ["650"]),
        ("leucocytes_per_ul", "60000", ["60000"]),
        ("neutrophil_percent", "0.88", ["88", "0.88"]),
        ("collected_at", "2025-10-26T01:30", ["2025-10-26T01:30+01:00", "2025-10-26T01:30+00:00"]),
    ],
)
def test_an_odd_value_brings_the_texts_that_may_stand_for_it(field, column, typed, answers):
    question = question_about(field(column), typed)
    assert [text for text, _ in question.answers] == answers and question.sentence[-1] in ".?"


@pytest.mark.parametrize(
    ("column", "typed"),
    [
        ("leucocytes_per_ul", "2300"),
        ("leucocytes_per_ul", "many"),
        ("neutrophil_percent", "88"),
        ("neutrophil_percent", "101"),
        ("collected_at", "2025-10-26T03:30"),
        ("collected_at", "2025-03-30T01:30"),
    ],
)
def test_a_usual_or_an_impossible_value_is_not_asked_about(field, column, typed):
    assert question_about(field(column), typed) is None
