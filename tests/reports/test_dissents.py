"""A dissent is frozen with the figures and printed beside the derived category; none of them move.

Source: access.csv, episode.override_class ("derived class and rule stay stored beside the override;
the report shows both") and its condition `pseudonyms`.
"""

from __future__ import annotations

import json

import pytest
from django.urls import reverse

from clinic.actions.judgements import record_dissent
from clinic.models import Peritonitis
from surveillance.snapshots import table_bytes, table_rows
from tests.reports.stored import QUARTER, draft_of, signed_by

REASON = "Another strain by its antibiogram, says Dr Plover."


@pytest.fixture
def disputed(draft, data_manager, director):
    """The relapse of the quarter, held for recurrent, then prepared and signed."""
    relapse = Peritonitis.objects.get(episode="E2")
    record_dissent(episode=relapse, by=director, category="recurrent", reason=REASON)
    return signed_by(draft.clinic, data_manager, director)


def _version(snapshot):
    return reverse("report_version", args=[snapshot.clinic.uid, snapshot.uid])


def _recount(snapshot, measure="peritonitis_rate"):
    return reverse("recount", args=[snapshot.clinic.uid, snapshot.uid, QUARTER, measure])


def test_the_snapshot_holds_both_categories_and_no_figure_moves(draft, disputed) -> None:
    (row,) = table_rows(disputed, "dissents")
    assert (row["episode"], row["sequence"], row["dissent"]) == ("E2", "relapsing", "recurrent")
    assert (row["by"], row["reason"], row["said_on"]) == ("Director Hazel", REASON, "2026-01-20")
    for table in ("measures", "cases"):
        assert table_bytes(disputed, table, QUARTER) == table_bytes(draft, table, QUARTER)


def test_what_is_said_later_is_not_in_the_frozen_version(disputed, director) -> None:
    before = table_bytes(disputed, "dissents")
    relapse = Peritonitis.objects.get(episode="E2")
    record_dissent(episode=relapse, by=director, category="new", reason="On second thoughts.")
    assert table_bytes(disputed, "dissents") == before
    assert len(table_rows(draft_of(disputed.clinic), "dissents")) == 2


def test_the_clinic_reads_who_and_why_on_report_and_recount(disputed, nurse, signed_in) -> None:
    client = signed_in(nurse)
    page = client.get(_version(disputed)).content.decode()
    assert "One category is disputed; every figure follows the derived one." in page
    assert "Director Hazel" in page and REASON in page
    assert "<td>relapsing</td><td>recurrent</td>" in page
    page = client.get(_recount(disputed)).content.decode()
    assert f"Dissent: derived relapsing; Director Hazel holds it for recurrent: “{REASON}”" in page


def test_an_auditor_reads_both_categories_without_name_or_reason(
    disputed, auditor, signed_in
) -> None:
    client = signed_in(auditor)
    for address in (_version(disputed), _recount(disputed)):
        page = client.get(address).content.decode()
        assert "recurrent" in page and "a director of the clinic" in page
        assert "Hazel" not in page and "Plover" not in page


def test_the_report_file_shows_both_under_pseudonyms(disputed, director, signed_in) -> None:
    address = reverse(
        "report_file", args=[disputed.clinic.uid, disputed.uid, "rate-report", QUARTER, "json"]
    )
    text = signed_in(director).get(address).content.decode()
    parts = json.loads(text)["parts"]
    listed = next(part for part in parts if part["name"] == "line_list")["tables"]["dissents"]
    (row,) = [one for one in listed if one["period"] == QUARTER]
    assert (row["sequence"], row["dissent"], row["onset_month"]) == (
        "relapsing", "recurrent", "2025-02",
    )  # fmt: skip
    assert set(row) == {"period", "patient", "episode", "onset_month", "sequence", "dissent"}
    assert "Plover" not in text and '"E2"' not in text


def test_a_dissent_of_another_period_is_not_in_this_one(disputed, nurse, signed_in) -> None:
    address = reverse(
        "recount", args=[disputed.clinic.uid, disputed.uid, "2024-Q4", "peritonitis_rate"]
    )
    assert "Dissent" not in signed_in(nurse).get(address).content.decode()
