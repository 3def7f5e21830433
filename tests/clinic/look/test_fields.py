"""A field: label, unit, "Not known" beside it, its fault where it stands and in the summary."""

import pytest
from django import forms
from django.template.loader import render_to_string

ANSWERS = [("yes", "Yes"), ("no", "No"), ("unknown", "Not known")]


class Asked(forms.Form):
    cloudy = forms.ChoiceField(label="Cloudy effluent", choices=ANSWERS, widget=forms.RadioSelect)
    dwell_hours = forms.FloatField(label="Last dwell", help_text="Before that bag.")
    dwell_not_known = forms.BooleanField(required=False)
    confirmed = forms.BooleanField(label="Yes, 0.65", help_text="0.65 per µL?", required=False)


def field(name: str, form: forms.Form, **more: object) -> str:
    return render_to_string("clinic/field.html", {"field": form[name], **more})


def test_choice_is_a_group_with_its_question_and_not_known_beside():
    html = field("cloudy", Asked())
    assert '<fieldset id="id_cloudy"' in html and "<legend>Cloudy effluent</legend>" in html
    assert html.count('type="radio"') == 3 and "Not known" in html
    assert "checked" not in html  # unknown is not no


def test_number_has_label_help_unit_and_not_known():
    form = Asked()
    html = field("dwell_hours", form, unit="hours", not_known=form["dwell_not_known"])
    assert '<label for="id_dwell_hours">Last dwell</label>' in html
    assert 'aria-describedby="id_dwell_hours_helptext"' in html
    assert '<span class="unit">hours</span>' in html
    assert 'name="dwell_not_known"' in html and "Not known" in html


def test_fault_is_tied_to_its_field():
    html = field("dwell_hours", Asked({"dwell_hours": "abc"}))
    assert 'aria-invalid="true"' in html and 'value="abc"' in html
    assert "id_dwell_hours_error" in html.split('id="id_dwell_hours_error"')[0]


def test_plain_question_stands_under_its_field():
    form = Asked()
    html = field("dwell_hours", form, confirm=form["confirmed"])
    assert "<p>0.65 per µL?</p>" in html and "Yes, 0.65" in html


def test_summary_links_to_every_fault():
    html = render_to_string("clinic/error_summary.html", {"form": Asked({})})
    assert 'role="alert"' in html
    assert 'href="#id_cloudy"' in html and 'href="#id_dwell_hours"' in html


def test_summary_is_silent_where_all_is_well():
    form = Asked({"cloudy": "unknown", "dwell_hours": "4"})
    assert render_to_string("clinic/error_summary.html", {"form": form}).strip() == ""


@pytest.mark.parametrize("state, said", [("met", "met"), ("not_assessable", "cannot tell")])
def test_criterion_is_told_by_mark_and_word(state, said):
    rows = [{"name": "Signs", "found": "yes", "decides": "one", "state": state, "so": said}]
    html = render_to_string("clinic/criteria.html", {"rows": rows, "caption": "Criteria"})
    assert f"#mark-{state}" in html and said in html
