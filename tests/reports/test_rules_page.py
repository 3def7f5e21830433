"""Rules: one year's figures by both rule sets, and the rules that make the difference."""

import re
from datetime import date

import pytest
from django.urls import reverse

from clinic.models import Training
from surveillance.models import Computation
from surveillance.snapshots import compute_draft, table_rows
from tests.reports.stored import NUMBERS, QUARTER, YEAR, draft_of, fill
from tests.reports.test_quarter import text_of


@pytest.fixture
def draft(tern_quay):
    """One patient was trained late: by the older rules no day before that counts."""
    fill(tern_quay)
    late = Training.objects.filter(patient__number=NUMBERS[-1])
    assert late.update(completed_on=date(2025, 1, 15)) == 1
    return draft_of(tern_quay)


@pytest.fixture
def other(draft):
    return compute_draft(clinic=draft.clinic, rule_set="rule_2016", as_of=draft.as_of)


def shown(client, clinic) -> str:
    answer = client.get(reverse("rules", args=[clinic.uid, QUARTER]))
    assert answer.status_code == 200
    return text_of(answer.content.decode())


def rate(snapshot) -> dict:
    rows = table_rows(snapshot, "measures", YEAR)
    return next(row for row in rows if (row["measure"], row["split"]) == ("peritonitis_rate", None))


def test_both_stored_figures_stand_beside_each_other(draft, other, director, signed_in):
    page = shown(signed_in(director), draft.clinic)
    one, two = rate(draft), rate(other)
    for row in (one, two):
        assert f"{row['value']:.2f}, {row['numerator']} of {row['denominator']:,}" in page
    assert (one["target"], two["target"]) == (0.4, 0.5)
    assert one["denominator"] > two["denominator"]
    assert re.search(r"Median of the patients' own rates \d+\.\d\d, ", page)  # no share
    assert "figures differ by the rules" in page


def test_each_differing_rule_names_its_source_and_certainty(draft, other, director, signed_in):
    page = shown(signed_in(director), draft.clinic)
    assert "Target: Peritonitis rate ≤ 0.4." in page
    assert "Target: Peritonitis rate ≤ 0.5." in page
    assert page.index("no such rule") < page.index("two of three criteria")  # what differs is first


def test_the_other_rules_are_computed_on_request(draft, director, signed_in):
    client = signed_in(director)
    assert "not computed yet" in shown(client, draft.clinic)
    address = reverse("compute_now", args=[draft.clinic.uid])
    client.post(address, {"rule_set": "rule_2016"})
    assert Computation.objects.get().rule_set == "rule_2016"
    assert client.post(address, {"rule_set": "rule_1999"}).status_code == 400


def test_a_computation_of_another_record_is_not_compared(draft, other, director, signed_in):
    type(other).objects.filter(pk=other.pk).update(data_version=other.data_version + 1)
    assert "not computed yet" in shown(signed_in(director), draft.clinic)


def test_whoever_sees_no_drafts_sees_no_comparison(draft, other, auditor, signed_in):
    answer = signed_in(auditor).get(reverse("rules", args=[draft.clinic.uid, QUARTER]))
    assert answer.status_code in (403, 404)
