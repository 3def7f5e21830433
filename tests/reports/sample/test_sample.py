"""The sample: one seed draws the same charts for all; an auditor writes what they say."""

from __future__ import annotations

import re

import pytest
from django.urls import reverse

from clinic.models import AuditEvent
from reports.sample.draw import draw
from surveillance.models import Finding
from tests.reports.stored import NUMBERS, YEAR

ASKED = "?n=4&seed=abc"


def address(snapshot, asked: str = ASKED) -> str:
    return reverse("sample", args=[snapshot.clinic.uid, snapshot.uid]) + asked


def test_a_seed_draws_the_same_charts_and_another_seed_others(signed) -> None:
    once, again, other = (draw(signed, YEAR, 5, seed) for seed in ("a1", "a1", "b2"))

    assert once == again and len(once) == 5
    assert [one.patient for one in once] != [one.patient for one in other]
    assert len({one.patient for one in draw(signed, YEAR, 99, "a1")}) == len(NUMBERS)


def test_every_patient_has_the_same_chance(signed) -> None:
    # 600 draws of 3 of 12: each is expected 150 times; 5 standard deviations are 53.
    drawn = [one.patient for seed in range(600) for one in draw(signed, YEAR, 3, str(seed))]

    assert all(abs(drawn.count(number) - 150) < 53 for number in NUMBERS)


def test_without_a_seed_a_new_one_is_made_and_shown(signed, auditor, signed_in) -> None:
    client = signed_in(auditor)
    answer = client.get(address(signed, ""))
    seed = re.search(r"seed=([0-9a-f]{8})$", answer.url)

    assert answer.status_code == 302 and seed
    assert seed[1] in client.get(answer.url).content.decode()


def test_an_auditor_sees_pseudonyms_and_the_clinic_the_numbers_in_the_same_order(
    signed, auditor, director, data_manager, signed_in
) -> None:
    seen, own, managed = (
        signed_in(person).get(address(signed)).content.decode()
        for person in (auditor, director, data_manager)
    )
    drawn = [one.patient for one in draw(signed, YEAR, 4, "abc")]

    assert not [number for number in NUMBERS if number in seen or number in managed]
    assert [f"{place}. {number}" in own for place, number in enumerate(drawn, 1)] == [True] * 4
    event = AuditEvent.objects.filter(verb="read", by=director).last()
    assert len(event.changes["patients"]) == 4


def test_what_an_auditor_finds_is_kept_with_its_event_and_agreement_is_told(
    signed, auditor, director, signed_in
) -> None:
    client = signed_in(auditor)
    first, second, *_ = draw(signed, YEAR, 4, "abc")
    same = {name: str(value) for name, value in first.reported.items()}
    answer = client.post(address(signed), {"place": "1", **same})
    more = {"days_at_risk": second.reported["days_at_risk"] - 3, "counted_episodes": 1}
    client.post(address(signed), {"place": "2", "comment": "Left on the 28th.", **more})

    page = client.get(address(signed)).content.decode()
    assert answer.status_code == 302
    assert (
        Finding.objects.get(patient=second.patient, field="days_at_risk").found
        == more["days_at_risk"]
    )
    assert "1 of 2 agree: 50 %" in page
    assert AuditEvent.objects.filter(verb="find", by=auditor).count() == 2
    assert "Left on the 28th." in signed_in(director).get(address(signed)).content.decode()


def test_said_again_the_later_answer_stands(signed, auditor, signed_in) -> None:
    client = signed_in(auditor)
    for days in (10, 20):
        client.post(address(signed), {"place": "1", "days_at_risk": days})

    assert [one.found for one in Finding.objects.all()] == [20]


@pytest.mark.parametrize("typed", ["", "many", "-1", "1.5", "99999999"])
def test_what_is_no_count_is_refused_in_words(signed, auditor, signed_in, typed: str) -> None:
    answer = signed_in(auditor).post(address(signed), {"place": "1", "days_at_risk": typed})

    assert answer.status_code == 422 and "Chart 1" in answer.content.decode()
    assert not Finding.objects.exists()


def test_only_an_auditor_writes_and_only_in_the_grant(signed, director, nurse, signed_in) -> None:
    for person in (director, nurse):
        answer = signed_in(person).post(address(signed), {"place": "1", "days_at_risk": "9"})
        assert answer.status_code == 403
    assert not Finding.objects.exists()


def test_findings_leave_the_version_as_it_was(signed, auditor, signed_in) -> None:
    before = signed.clinic.audit_chain.number
    signed_in(auditor).post(address(signed), {"place": "1", "days_at_risk": "9"})

    signed.clinic.audit_chain.refresh_from_db()
    assert signed.clinic.audit_chain.number == before
