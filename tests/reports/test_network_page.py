"""A network's clinics beside each other: unnamed for a director, signed for its officer."""

from __future__ import annotations

from datetime import date

import pytest
from django.urls import reverse

from clinic.models import Clinic, Person
from reports.network_page.clinics import Beside
from reports.network_page.page import Compared
from tests.factories import (
    make_clinic,
    make_grant,
    make_patient,
    make_peritonitis,
    make_person,
    make_sample,
    make_spell,
)
from tests.reports.stored import QUARTER, draft_of, signed_by

# Counted episodes of the year by clinic; one of the others has a small count, one none.
OTHERS = {"AA": 6, "BB": 7, "CC": 8, "DD": 3, "EE": 0, "FF": 9}
NETWORK = "Estuary & Fells"


def fill(clinic: Clinic, episodes: int) -> None:
    """Ten patients for two years, one episode each at most, more than four weeks apart."""
    for place in range(10):
        patient = make_patient(clinic, f"{clinic.code}-{place:02d}")
        make_spell(patient, started_on=date(2023, 2, 1), modality="capd" if place % 2 else "apd")
        if place < episodes:
            onset = date(2024, 5, 3 + place)
            episode = make_peritonitis(patient, onset_on=onset, episode="E1",
                                       therapy_completed_on=date(2024, 6, 3 + place))  # fmt: skip
            make_sample(episode, culture="no_growth")


@pytest.fixture
def network(tern_quay: Clinic) -> dict[str, Clinic]:
    clinics = {
        code: make_clinic(code, name=f"Clinic {code} of elsewhere", network=NETWORK)
        for code in OTHERS
    }
    for code, clinic in clinics.items():
        fill(clinic, OTHERS[code])
        draft_of(clinic)
    fill(tern_quay, 5)
    draft_of(tern_quay)
    return clinics | {"TQ": tern_quay}


def page(client, clinic: Clinic, quarter: str = QUARTER) -> str:
    answer = client.get(reverse("network", args=[clinic.uid, quarter]))
    assert answer.status_code == 200
    return answer.content.decode()


def test_a_director_sees_the_others_unnamed_and_no_small_count(
    network, director, signed_in
) -> None:
    shown = page(signed_in(director), network["TQ"])

    assert "of elsewhere" not in shown
    assert shown.count("another clinic:") > 0
    # Clinic DD's three and one more, so that the total does not give it back.
    assert "Two clinics are not drawn" in shown
    assert 'data-numerator="3"' not in shown
    assert ">Tern Quay</text>" in shown


def test_the_small_count_cannot_be_had_from_the_total(network, director) -> None:
    from reports.network_page.clinics import beside

    compared = Compared(beside(director, network["TQ"], QUARTER), QUARTER)

    assert "DD" in compared.hidden and len(compared.hidden) == 2
    assert "TQ" not in compared.hidden and "EE" not in compared.hidden  # zero is shown


def test_with_fewer_than_five_others_the_own_clinic_stands_alone(network, director) -> None:
    from reports.network_page.clinics import beside

    found = beside(director, network["TQ"], QUARTER)
    few = Beside(found.own, found.versions[:3] + found.versions[-1:], True, 3)

    assert Compared(few, QUARTER).shown == ["TQ"]


def test_the_officer_sees_signed_versions_by_name(
    network, tern_quay, data_manager, director, signed_in
) -> None:
    officer: Person = make_person("heather", name="Network officer Heather")
    make_grant(officer, "network_officer", None, network=NETWORK)
    assert "No version of this quarter is open to you yet" in page(signed_in(officer), tern_quay)

    signed_by(tern_quay, data_manager, director)
    other = network["DD"]
    manager, head = make_person("burdock"), make_person("larch")
    make_grant(manager, "data_manager", other)
    make_grant(head, "director", other)
    signed_by(other, manager, head)

    shown = page(signed_in(officer), tern_quay)
    assert "Tern Quay" in shown and "Clinic DD of elsewhere" in shown
    assert "Clinic AA of elsewhere" not in shown
    assert "5 clinics have no version" in shown
    quarter = reverse("quarter", args=[tern_quay.uid, QUARTER])
    assert signed_in(officer).get(quarter).url == reverse("network", args=[tern_quay.uid, QUARTER])


def test_who_may_not_compare_is_refused(network, nurse, auditor, signed_in) -> None:
    address = reverse("network", args=[network["TQ"].uid, QUARTER])

    assert signed_in(nurse).get(address).status_code == 403
    assert signed_in(auditor).get(address).status_code == 403
    assert signed_in(nurse).get(
        reverse("network", args=[network["AA"].uid, QUARTER])
    ).status_code in (403, 404)


def test_the_points_are_the_stored_signal_rows(network, director) -> None:
    from reports.network_page.clinics import beside
    from reports.network_page.page import charts

    compared = Compared(beside(director, network["TQ"], QUARTER), QUARTER)
    table = charts(compared)[0].rows
    stored = {row["observed"]: row for (rule, _), row in compared.rows.items() if rule == "funnel"}

    for _, _, observed, expected, rate, _, high in table:
        row = stored[observed]
        assert (expected, rate, high) == (row["expected"], row["statistic"], row["limit"])
