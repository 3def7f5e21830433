"""The report for readers outside: no lists, small counts hidden, divided by calendar year."""

from __future__ import annotations

import csv
import io
import json

import pytest
from django.test import Client
from django.urls import reverse

from clinic.models import AuditEvent, Person
from surveillance.models import Snapshot
from tests.factories import make_grant, make_person
from tests.reports.stored import QUARTER, signed_by

NETWORK = "Estuary & Fells"
LAST = "2025-Q4"
LISTS = ("ledger", "patients", "line_list", "exclusions", "changes", "dissents", "ascertainment")


@pytest.fixture
def officer(tern_quay) -> Person:
    person = make_person("campion", name="Officer Campion")
    make_grant(person, "network_officer", network=NETWORK)
    return person


@pytest.fixture
def year_signed(draft: Snapshot, data_manager, director) -> Snapshot:
    """The last quarter, whose rolling year is the calendar year."""
    return signed_by(draft.clinic, data_manager, director, LAST)


def file_of(client: Client, snapshot: Snapshot, what: str, ending: str, period: str = ""):
    place = [snapshot.clinic.uid, snapshot.uid, what, period or snapshot.through, ending]
    return client.get(reverse("report_file", args=place))


def tables(client: Client, snapshot: Snapshot) -> dict[str, list[dict]]:
    document = json.loads(file_of(client, snapshot, "outside-report", "json").content)
    return {name: rows for part in document["parts"] for name, rows in part["tables"].items()}


def test_an_officer_of_the_network_gets_no_list_and_no_file_of_single_patients(
    signed, officer, signed_in
) -> None:
    client = signed_in(officer)

    found = tables(client, signed)
    assert not set(found) & set(LISTS)
    for what in ("rate-report", "cases", "ledger", "days", "measures"):
        ending = "json" if what == "rate-report" else "csv"
        assert file_of(client, signed, what, ending).status_code in (403, 404), what


def test_divided_rows_stand_for_the_calendar_year_only(year_signed, officer, signed_in) -> None:
    rows = tables(signed_in(officer), year_signed)["measures"]

    assert {row["period"] for row in rows if row["split"]} == {"2025"}
    assert {row["period"] for row in rows if not row["split"]} == {LAST, f"{LAST}/4q"}
    assert not {row["split"] for row in rows} & {"trainer", "first_trainer"}
    hidden = [row for row in rows if row["numerator"] == "hidden"]
    assert hidden and all(row["value"] in ("hidden", None) for row in hidden)
    small = [row for row in rows if row["split"] and row["numerator"] in (1, 2, 3, 4)]
    assert small == []


def test_a_quarter_within_the_year_has_no_divided_row(signed, officer, signed_in) -> None:
    rows = tables(signed_in(officer), signed)["measures"]

    assert rows and not [row for row in rows if row["split"]]


@pytest.mark.parametrize("ending", ["csv", "json", "xlsx", "pdf", "zip"])
def test_every_shape_is_there_and_logged_as_masked(
    year_signed, officer, signed_in, ending: str
) -> None:
    answer = file_of(signed_in(officer), year_signed, "outside-report", ending)

    event = AuditEvent.objects.get(verb="download", by=officer)
    assert answer.status_code == 200
    assert (event.changes["how"], event.changes["sha256"]) == ("masked", answer["X-Content-SHA256"])


def test_nothing_that_is_not_signed_leaves_the_clinic(draft, officer, signed_in) -> None:
    assert file_of(signed_in(officer), draft, "outside-report", "json", QUARTER).status_code == 404


def test_another_network_has_nothing(signed, signed_in) -> None:
    stranger = make_person("teasel2")
    make_grant(stranger, "network_officer", network="Another")

    assert file_of(signed_in(stranger), signed, "outside-report", "json").status_code == 404


def test_the_page_offers_what_the_person_may_have(signed, officer, director, signed_in) -> None:
    address = reverse("report_version", args=[signed.clinic.uid, signed.uid])
    seen, whole = (
        signed_in(person).get(address).content.decode() for person in (officer, director)
    )

    assert "outside-report" in seen and "/rate-report-" not in seen and "/cases-" not in seen
    assert "outside-report" in whole and "/rate-report-" in whole
    assert "Hazel" not in seen


def test_an_officer_exports_measures_masked(year_signed, officer, signed_in) -> None:
    client = signed_in(officer)
    address = reverse("measures_csv", args=[year_signed.clinic.uid])
    year = rows_of(client.get(address, {"period": "2025"}).content)
    quarter = rows_of(client.get(address, {"period": LAST}).content)

    assert {row["numerator"] for row in year if row["split"]} & {"hidden"}
    assert not {row["numerator"] for row in year if row["split"]} & {"1", "2", "3", "4"}
    assert quarter and not [row for row in quarter if row["split"]]
    assert client.get(address, {"period": QUARTER}).status_code == 400


def rows_of(content: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(content.decode(), newline="")))
