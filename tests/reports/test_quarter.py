"""Quarter: stored numbers in sentences, sections and links, for whoever may see them."""

from __future__ import annotations

import csv
import html
import io
import re

import pytest
from django.test import Client
from django.urls import reverse

from clinic.models import AuditEvent, Clinic, Person
from reports.rate_report.figures import Figures
from surveillance.models import Snapshot
from surveillance.snapshots import table_bytes
from tests.reports.stored import NUMBERS, QUARTER, YEAR, draft_of, end_a_spell


def page(client: Client, clinic: Clinic, period: str = QUARTER, **query: str) -> str:
    answer = client.get(reverse("quarter", args=[clinic.uid, period]), query)
    assert answer.status_code == 200
    return text_of(answer.content.decode())


def text_of(source: str) -> str:
    """The words of a page in one line."""
    return " ".join(html.unescape(re.sub(r"<[^>]+>", "", source)).split())


def test_without_a_result_it_says_so_and_offers_to_compute(tern_quay, nurse, signed_in) -> None:
    answer = signed_in(nurse).get(reverse("quarter", args=[tern_quay.uid]))

    assert answer.status_code == 200
    assert "Nothing is computed yet." in answer.content.decode()
    assert reverse("compute_now", args=[tern_quay.uid]) in answer.content.decode()


def test_an_auditor_without_a_signed_quarter_is_told_so(draft, auditor, signed_in) -> None:
    answer = signed_in(auditor).get(reverse("quarter", args=[draft.clinic.uid]))

    assert "No signed quarter is open to you here yet." in answer.content.decode()


def test_the_first_sentence_holds_the_stored_row(draft, director, signed_in) -> None:
    row = Figures(draft).row(YEAR, "peritonitis_rate")

    shown = page(signed_in(director), draft.clinic)

    years = row["denominator"] / 365.25
    assert (
        f"{row['numerator']} counted episodes in {years:.1f} patient-years: {row['value']:.2f} "
        f"per patient-year, range {row['lower']:.2f} to {row['upper']:.2f}." in shown
    )


def test_different_denominators_are_explained(draft, director, signed_in) -> None:
    shown = page(signed_in(director), draft.clinic)

    assert "1 of 3 episodes, 33 %" in shown
    assert "3 episodes here and 2 counted above: one is a relapse of a counted episode." in shown


def test_a_change_claims_no_more_than_the_range_of_its_ratio(draft, director, signed_in) -> None:
    shown = page(signed_in(director), draft.clinic)

    assert "No change that chance could not make." in shown
    ratio = Figures(draft).estimate(YEAR, "peritonitis_rate_ratio_to_year_before")
    assert ratio and ratio["lower"] < 1 < ratio["upper"]


def test_every_link_to_a_recount_opens(draft, director, signed_in) -> None:
    client = signed_in(director)
    source = client.get(reverse("quarter", args=[draft.clinic.uid, QUARTER])).content.decode()
    addresses = {html.unescape(one) for one in re.findall(r'href="([^"]*/recount/[^"]*)"', source)}

    assert len(addresses) > 20
    assert {client.get(address).status_code for address in addresses} == {200}


def test_a_draft_says_so_with_its_day(draft, nurse, signed_in) -> None:
    assert "Draft, to 20 Jan 2026" in page(signed_in(nurse), draft.clinic)


def test_a_signed_version_stands_before_a_newer_draft(signed, nurse, signed_in) -> None:
    shown = page(signed_in(nurse), signed.clinic)

    assert "Signed, version 1" in shown
    assert "The record has moved on" not in shown


def test_a_draft_that_differs_from_the_signed_version_is_named(signed, nurse, signed_in) -> None:
    end_a_spell(signed.clinic)
    newer = draft_of(signed.clinic)

    client = signed_in(nurse)

    assert "The record has moved on" in page(client, signed.clinic)
    assert "Draft, to 20 Jan 2026" in page(client, signed.clinic, version=str(newer.uid))


def test_an_auditor_sees_the_quarter_granted_and_no_other(signed, auditor, signed_in) -> None:
    client = signed_in(auditor)

    shown = page(client, signed.clinic)

    assert "The year before is in its own report, which is not open to you." in shown
    other = reverse("quarter", args=[signed.clinic.uid, "2024-Q4"])
    assert client.get(other).status_code == 404
    assert "2024 Q4" not in shown.replace("2024 Q2 to 2025 Q1", "")


def test_an_auditor_sees_nothing_unsigned(draft, auditor, signed_in) -> None:
    address = reverse("quarter", args=[draft.clinic.uid, QUARTER])

    assert signed_in(auditor).get(address).status_code == 404
    assert signed_in(auditor).get(address, {"version": draft.uid}).status_code == 404


def test_no_page_for_an_auditor_names_a_patient(signed, auditor, signed_in) -> None:
    shown = page(signed_in(auditor), signed.clinic)

    assert not [number for number in NUMBERS if number in shown]


def test_another_clinic_is_like_none(draft, saltmere, director, signed_in) -> None:
    client = signed_in(director)

    assert client.get(reverse("quarter", args=[saltmere.uid])).status_code == 404
    elsewhere = reverse("quarter", args=[saltmere.uid, QUARTER])
    assert client.get(elsewhere, {"version": draft.uid}).status_code == 404


def test_an_administrator_sees_no_figures(draft, administrator, signed_in) -> None:
    address = reverse("quarter", args=[draft.clinic.uid])

    assert signed_in(administrator).get(address).status_code == 403


def test_before_four_quarters_it_shows_the_quarter_and_says_so(draft, director, signed_in) -> None:
    shown = page(signed_in(director), draft.clinic, "2023-Q2")

    assert "2023 Q2 in five sentences; four quarters are not complete yet" in shown
    assert "Four quarters are not complete yet." in shown


@pytest.mark.parametrize("period", ["2030-Q1", "1999-Q1"])
def test_a_quarter_without_rows_is_not_found(draft, director, signed_in, period: str) -> None:
    address = reverse("quarter", args=[draft.clinic.uid, period])

    assert signed_in(director).get(address).status_code == 404


def test_a_version_that_is_no_id_is_not_found(draft, director, signed_in) -> None:
    address = reverse("quarter", args=[draft.clinic.uid, QUARTER])

    assert signed_in(director).get(address, {"version": "newest"}).status_code == 404


def numbers(client: Client, snapshot: Snapshot, section: str) -> list[dict[str, str]]:
    address = reverse("section_numbers", args=[snapshot.clinic.uid, QUARTER, section])
    answer = client.get(address, {"version": snapshot.uid})
    assert answer.status_code == 200
    return list(csv.DictReader(io.StringIO(answer.content.decode())))


@pytest.mark.parametrize("section", ["answers", "rate_over_time", "training_clock", "organisms"])
def test_each_section_gives_its_stored_rows(signed, director, signed_in, section: str) -> None:
    rows = numbers(signed_in(director), signed, section)

    stored = [
        row
        for period in {row["period"] for row in rows}
        for row in csv.DictReader(table_bytes(signed, "measures", period).decode().splitlines())
    ]
    assert rows
    assert not [row for row in rows if row not in stored]


def test_the_numbers_of_an_auditor_end_with_the_grant(signed, auditor, signed_in) -> None:
    rows = numbers(signed_in(auditor), signed, "rate_over_time")

    assert {row["period"] for row in rows} == {QUARTER, YEAR}


def test_a_section_that_does_not_exist_is_not_found(signed, director, signed_in) -> None:
    address = reverse("section_numbers", args=[signed.clinic.uid, QUARTER, "secrets"])

    assert signed_in(director).get(address).status_code == 404


def test_a_download_is_logged_with_its_digest(signed, director: Person, signed_in) -> None:
    numbers(signed_in(director), signed, "rate_over_time")

    event = AuditEvent.objects.filter(verb="download").latest("id")
    assert event.by == director
    assert event.changes["file"] == "TQ-2025-Q1-v1-rate_over_time.csv"
    assert len(event.changes["sha256"]) == 64


def test_the_page_says_what_clustering_does_to_the_exact_range(draft, director, signed_in) -> None:
    shown = page(signed_in(director), draft.clinic)

    figures = Figures(draft)
    row = figures.row(YEAR, "peritonitis_rate")
    robust = figures.estimate(YEAR, "peritonitis_rate", method="patient_robust_hc0")
    spread = figures.estimate(YEAR, "peritonitis_rate_dispersion")
    assert "Where episodes cluster in few patients it is too narrow" in shown
    assert (
        f"Here: exact {row['lower']:.2f} to {row['upper']:.2f}; allowing for it "
        f"{robust['lower']:.2f} to {robust['upper']:.2f}; dispersion {spread['value']:.2f}, "
        "where 1 is no clustering." in shown
    )


def test_each_clock_stands_with_the_caution_about_triggered_retraining(
    draft, director, signed_in
) -> None:
    shown = page(signed_in(director), draft.clinic)

    for clock in ("initial training", "scheduled reassessment", "retraining after an infection"):
        assert f"Since {'the' if clock.startswith('i') else 'a'} {clock}" in shown
    assert "A triggered retraining follows an infection" in shown
    assert "The bands of each clock add up to the same" in shown


def test_the_rules_in_force_stand_with_source_and_certainty(draft, director, signed_in) -> None:
    shown = page(signed_in(director), draft.clinic)

    assert "A patient-year is 365.25 days" in shown
    assert "our choice" in shown
