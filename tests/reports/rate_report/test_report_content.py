"""The thirteen parts: what each says of one clinic's signed quarter, and what a zero, a missing and
a hidden cell look like."""

from __future__ import annotations

import pytest

from reports.rate_report.part import Report
from reports.rate_report.report import rate_report
from reports.rate_report.tables import HOST
from surveillance.models import Snapshot
from surveillance.snapshots import prepare_quarter, sign_quarter
from tests.reports.stored import NUMBERS, QUARTER, YEAR, end_a_spell

PARTS = [
    "cover", "headline", "definitions", "ledger", "line_list", "exclusions", "completeness",
    "changes", "restatements", "methods", "limits", "sign_off", "recompute",
]  # fmt: skip


def report_of(snapshot: Snapshot) -> Report:
    return rate_report(snapshot, QUARTER, HOST)


@pytest.fixture
def report(signed: Snapshot) -> Report:
    return report_of(signed)


def rows(report: Report, table: str, **wanted: str) -> list[dict[str, str]]:
    found = report.table(table)
    assert found is not None, table
    return [row for row in found.rows if all(row[name] == wanted[name] for name in wanted)]


def test_thirteen_parts_in_the_order_of_the_specification(report) -> None:
    # workflows.md 4
    assert [part.name for part in report.parts] == PARTS
    assert [part.number for part in report.parts] == list(range(1, 14))


def test_every_row_has_the_declared_columns_and_every_table_its_own_name(report) -> None:
    names = [table.name for table in report.tables]

    assert len(set(names)) == len(names)
    for table in report.tables:
        assert all(tuple(row) == table.columns for row in table.rows), table.name


def test_the_ledger_sums_to_the_headline(report) -> None:
    for period in (YEAR, QUARTER):
        days = sum(
            int(row["days"]) for row in rows(report, "ledger", period=period, state="at_risk")
        )
        (rate,) = rows(report, "headline", period=period, measure="peritonitis_rate")
        assert int(rate["denominator"]) == days > 0


def test_the_relapse_is_left_out_counted_and_listed_as_an_exclusion(report) -> None:
    (rate,) = rows(report, "headline", period=YEAR, measure="peritonitis_rate")
    (step,) = rows(report, "exclusions_by_reason", period=YEAR, reason="not_counted_relapse")
    (listed,) = rows(report, "exclusions", period=YEAR, reason="not_counted_relapse")

    assert (rate["relapses_left_out"], step["rows"]) == ("1", "1")
    assert listed["onset_month"] == "2025-02"


def test_an_onset_is_a_month_and_a_day_of_pd(report) -> None:
    # Patient TQ-001 began on 1 Feb 2023; the first episode's onset is 6 Jan 2025.
    first = rows(report, "line_list", period=YEAR, onset_month="2025-01", sequence="new")[0]

    assert first["onset_day_of_pd"] == "705"


def test_no_record_number_no_name_and_no_day_of_a_patient_is_in_any_cell(report) -> None:
    cells = {cell for table in report.tables for row in table.rows for cell in row.values()}
    lists = [report.table(name) for name in ("ledger", "line_list", "exclusions", "changes")]
    listed = {cell for table in lists if table for row in table.rows for cell in row.values()}

    assert not [cell for cell in cells if any(number in cell for number in NUMBERS)]
    assert not [cell for cell in cells if "Teasel" in cell or "Hazel" in cell or "E-long" in cell]
    assert not [cell for cell in listed if len(cell) == 10 and cell[4:5] == cell[7:8] == "-"]


def test_a_rate_over_nobody_is_missing_and_not_zero(signed: Snapshot) -> None:
    report = rate_report(signed, "2023-Q1", HOST)
    empty = [row for row in report.table("headline").rows if row["denominator"] == "0"]

    assert empty and {row["value"] for row in empty} == {""}
    assert {row["numerator"] for row in empty} == {"0"}


def test_what_is_not_recorded_is_told_apart_from_not_known(report) -> None:
    (cells,) = rows(report, "completeness", period=YEAR, field="cell count, dwell 2 h or more")

    assert int(cells["rows"]) == sum(
        int(cells[name]) for name in ("present", "not_known", "missing")
    )
    assert int(cells["not_known"]) > 0


def test_who_found_an_episode_and_how_late_it_came_stand_in_the_line_list(report) -> None:
    found = rows(report, "line_list", period=YEAR)

    assert all(int(row["entered_after_days"]) > 200 for row in found)  # entered today, by the test
    assert {row["source"] for row in found} == {""}
    (asked,) = rows(report, "completeness", period=YEAR, field="who found it")
    assert asked["missing"] == asked["rows"]


def test_every_rule_has_a_source_and_a_certainty(report) -> None:
    found = rows(report, "definitions")

    assert len(found) > 20
    assert all(row["source"] and row["certainty"] for row in found)


@pytest.fixture
def restated(signed, data_manager, director) -> Snapshot:
    end_a_spell(signed.clinic)
    reason = "A transfer of February came late."
    prepared = prepare_quarter(
        clinic=signed.clinic, quarter=QUARTER, by=data_manager, reason=reason, causes=["days"]
    )
    return sign_quarter(snapshot=prepared, by=director, digest=prepared.digest)


def test_a_restatement_shows_both_vintages_and_what_moved(signed, restated) -> None:
    # The late end of one spell takes the days from 2 Feb to 31 Mar 2025: 58 days.
    (row,) = rows(report_of(restated), "restatements", period=QUARTER)

    assert int(row["first_denominator"]) - int(row["denominator"]) == 58
    assert row["cause"] == "days at risk -58"
    assert (row["first_version"], row["decided_by"]) == ("1", "a director")
    assert row["stated_cause"]
    assert float(row["difference"]) == pytest.approx(
        float(row["value"]) - float(row["first_value"])
    )


def test_the_change_log_names_roles_and_no_value_that_tells_who(signed, restated) -> None:
    found = rows(report_of(restated), "changes")

    assert [(row["by_role"], row["verb"], row["thing"]) for row in found] == [
        ("schedule", "amend", "pd_spells"),
    ]  # fmt: skip


def test_a_first_version_has_no_change_log_and_no_restatement(report) -> None:
    assert rows(report, "changes") == [] == rows(report, "restatements")


def test_an_old_version_stays_as_it_was_when_a_newer_is_signed(
    signed, data_manager, director
) -> None:
    before = report_of(signed)
    end_a_spell(signed.clinic)
    prepared = prepare_quarter(
        clinic=signed.clinic, quarter=QUARTER, by=data_manager, reason="A transfer came late.",
        causes=["days"],
    )  # fmt: skip
    sign_quarter(snapshot=prepared, by=director, digest=prepared.digest)

    signed.refresh_from_db()
    assert signed.state == "superseded"
    assert report_of(signed) == before
