"""Recount: one stored figure taken apart, and every part adds up to it."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from clinic.models import AuditEvent
from reports.rate_report.figures import Figures
from reports.rate_report.names import MEASURES
from reports.recount.formulas import CASE_COLUMNS
from reports.recount.ledger import patient_lines
from reports.recount.lists import OUTCOME_SHARES, case_lines
from reports.recount.lists_read import identified_lists
from reports.recount.steps import steps_of
from surveillance.models import Snapshot
from surveillance.snapshots import table_bytes
from tests.reports.stored import NUMBERS, QUARTER, YEAR
from tests.reports.test_quarter import text_of

# Their second number asks what the stored rows do not carry: follow-up, or catheters.
NOT_IN_ROWS = (*OUTCOME_SHARES, "insertion_related_share")


def address(snapshot: Snapshot, measure: str, period: str = YEAR) -> str:
    return reverse("recount", args=[snapshot.clinic.uid, snapshot.uid, period, measure])


def shown(client: Client, snapshot: Snapshot, measure: str, **query: Any) -> str:
    answer = client.get(address(snapshot, measure), query)
    assert answer.status_code == 200
    return text_of(answer.content.decode())


def test_the_formulas_point_at_the_columns_of_the_case_file(draft) -> None:
    header = table_bytes(draft, "cases", YEAR).decode().partition("\n")[0]

    assert tuple(header.split(",")) == CASE_COLUMNS


@pytest.mark.parametrize("measure", [name for name in MEASURES if name not in NOT_IN_ROWS])
def test_the_rows_listed_give_the_numerator(draft, measure: str) -> None:
    figures = Figures(draft)
    rows = [row for row in figures.rows(YEAR) if row["measure"] == measure]
    rows = [row for row in rows if row["split"] in ("", "organism_group")]

    for row in rows:
        lists = identified_lists(draft, row)
        taken = [one for one in case_lines(lists.cases, row, [], []) if one.is_in]
        assert found_by(measure, row, taken) == row["numerator"], (row["split"], row["band"])


def found_by(measure: str, row: dict[str, Any], taken: list[Any]) -> int:
    if measure == "peritonitis_free_share":
        return row["denominator"] - len({one.patient for one in taken})
    if measure == "catheter_infection_rate":
        return len({(one.patient, one.case["episode"]) for one in taken})
    return len(taken)


@pytest.mark.parametrize("period", [QUARTER, YEAR, "2025-02", "2024"])
def test_the_ledger_listed_gives_the_denominator(draft, period: str) -> None:
    row = Figures(draft).row(period, "peritonitis_rate")

    lines = patient_lines(identified_lists(draft, row).ledger, set())

    assert sum(line.days for line in lines) == row["denominator"]


def test_the_steps_end_in_the_stored_limits(draft) -> None:
    row = Figures(draft).row(YEAR, "peritonitis_rate")

    steps = {step.name: step.value for step in steps_of(row)}

    assert steps["Rate"] == row["value"]
    assert (steps["Lower limit"], steps["Upper limit"]) == (row["lower"], row["upper"])
    assert steps["Counted episodes"] / steps["Patient-years"] == pytest.approx(row["value"])


def test_nobody_at_risk_leaves_counts_and_no_formula(draft, director, signed_in) -> None:
    answer = signed_in(director).get(address(draft, "peritonitis_rate", "2023-01"))

    page = text_of(answer.content.decode())
    assert "nobody was at risk" in page
    assert "Nothing is rounded before the last line" not in page


def test_a_typed_count_is_compared_without_script(draft, director, signed_in) -> None:
    page = shown(signed_in(director), draft, "peritonitis_rate", A1="2", A2="1")

    assert "same" in page
    assert "differs:" in page


def test_the_clinic_sees_record_numbers_and_days(draft, nurse, signed_in) -> None:
    page = shown(signed_in(nurse), draft, "peritonitis_rate")

    assert NUMBERS[0] in page
    assert "not counted: relapse of the episode of 6 Jan 2025" in page


def test_reading_record_numbers_is_logged_with_each_patient(draft, nurse, signed_in) -> None:
    shown(signed_in(nurse), draft, "peritonitis_rate")

    event = AuditEvent.objects.get(verb="read")
    assert event.by == nurse
    assert len(event.changes["patients"]) == len(NUMBERS)


def test_an_auditor_sees_pseudonyms_and_months(signed, auditor, signed_in) -> None:
    page = shown(signed_in(auditor), signed, "peritonitis_rate")

    assert not [number for number in NUMBERS if number in page]
    assert "not counted: relapse of the episode of Jan 2025" in page
    assert not re.search(r"\b6 Jan 2025|10 Feb 2025|2025-01-06", page)


def test_an_auditor_s_page_holds_no_day_even_in_its_source(signed, auditor, signed_in) -> None:
    answer = signed_in(auditor).get(address(signed, "peritonitis_rate"))

    assert not re.search(r"2025-0[12]-\d\d", answer.content.decode())


@pytest.mark.parametrize("measure", sorted(MEASURES))
def test_every_measure_opens(draft, director, signed_in, measure: str) -> None:
    row = next(row for row in Figures(draft).rows(YEAR) if row["measure"] == measure)
    query = {"split": row["split"], "band": row["band"]} if row["split"] else {}

    assert MEASURES[measure].title in shown(signed_in(director), draft, measure, **query)


def test_a_band_says_that_the_ledger_is_undivided(draft, director, signed_in) -> None:
    row = Figures(draft).bands(YEAR, "peritonitis_rate", "time_on_pd")[0]

    page = shown(
        signed_in(director), draft, "peritonitis_rate", split="time_on_pd", band=row["band"]
    )

    assert "The ledger stores days undivided" in page


@pytest.mark.parametrize(
    ("measure", "query"),
    [
        ("peritonitis_rate", {"split": "time_on_pd", "band": "nonsense"}),
        ("nonsense", {}),
        ("organism_rate", {}),
    ],
)
def test_a_figure_that_is_not_stored_is_not_found(
    draft, director, signed_in, measure: str, query: dict[str, str]
) -> None:
    assert signed_in(director).get(address(draft, measure), query).status_code == 404


def test_rows_by_trainer_are_for_nurse_and_director(draft, nurse, data_manager, signed_in) -> None:
    row = Figures(draft).bands(YEAR, "peritonitis_rate", "trainer")[0]
    query = {"split": "trainer", "band": row["band"]}

    statuses = [
        signed_in(person).get(address(draft, "peritonitis_rate"), query).status_code
        for person in (nurse, data_manager)
    ]
    assert statuses == [200, 404]


def test_nothing_unsigned_and_no_other_period_for_an_auditor(
    draft, signed, auditor, signed_in
) -> None:
    client = signed_in(auditor)

    assert client.get(address(draft, "peritonitis_rate")).status_code == 404
    assert client.get(address(signed, "peritonitis_rate", "2024-Q4")).status_code == 404
    assert client.get(address(signed, "peritonitis_rate", QUARTER)).status_code == 200


def test_who_may_not_open_the_line_list_may_not_recount(draft, administrator, signed_in) -> None:
    assert signed_in(administrator).get(address(draft, "peritonitis_rate")).status_code == 403
