"""The days table is sorted, and its bands are empty of catheter days."""

from datetime import date

import pytest

from surveillance.measures.compute import compute
from surveillance.rules import RULE_SETS
from tests.surveillance.records import catalogue, make_record, spell

RECORD = make_record(
    pd_spells=[spell("2024-12-01", modality="capd")],
    catheters=[{"catheter": "C", "inserted_on": "2024-11-20"}],
)


@pytest.fixture(scope="module")
def days():
    return compute(RECORD, catalogue(), RULE_SETS["rule_2022"], date(2025, 3, 31)).days


def test_undivided_rows_have_catheter_days(days):
    row = days[(days["period"] == "2024-Q4") & (days["split"] == "")].iloc[0]
    assert (row["days_at_risk"], row["catheter_days"]) == (31, 42)


def test_bands_have_days_that_are_not_zero_and_no_catheter_days(days):
    bands = days[days["split"] != ""]
    assert bands["catheter_days"].isna().all() and (bands["days_at_risk"] > 0).all()
    assert not bands["period"].str.fullmatch(r"\d{4}-\d{2}").any()


def test_rows_stand_by_period_start_then_end_then_split(days):
    assert days["period"].drop_duplicates().tolist()[:3] == ["2024-01", "2024-Q1", "2024"]
    quarter = days[days["period"] == "2025-Q1"]
    assert quarter["split"].tolist() == sorted(quarter["split"].tolist())
