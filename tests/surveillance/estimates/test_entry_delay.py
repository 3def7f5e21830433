"""How soon episodes are entered: within a week, two weeks, four, sixty days."""

from datetime import date

import pytest

from tests.surveillance.estimates.found import estimates
from tests.surveillance.records import make_record, peritonitis, spell

RECORD = make_record(
    pd_spells=[spell("2025-01-01")],
    peritonitis=[
        peritonitis("E1", "2025-03-01", recorded_on="2025-03-08"),  # day 7
        peritonitis("E2", "2025-04-01", recorded_on="2025-04-09"),  # day 8
        peritonitis("E3", "2025-05-01", recorded_on="2025-06-30"),  # day 60
        peritonitis("E4", "2025-06-01"),  # nobody knows
    ],
)


@pytest.mark.parametrize(
    ("band", "share"), [("7", 1 / 3), ("14", 2 / 3), ("28", 2 / 3), ("60", 1.0)]
)
def test_the_share_entered_by_each_day(band: str, share: float):
    row = estimates(RECORD)["peritonitis_entered_share", band, "exact_binomial"]
    assert row["value"] == pytest.approx(share)
    assert (row["split"], row["note"]) == ("days_since_onset", "left out as unknown: 1")
    assert row["lower"] < share <= row["upper"]


def test_an_episode_too_young_is_not_asked():
    found = estimates(RECORD, "2025-Q2", as_of=date(2025, 7, 1))
    day_60 = found["peritonitis_entered_share", "60", "exact_binomial"]
    assert day_60["value"] == 1.0  # E2 and E3; E4 is 30 days old
    assert day_60["note"] == ""
    assert found["peritonitis_entered_share", "28", "exact_binomial"]["note"].endswith(": 1")


def test_an_entry_after_as_of_is_not_seen():
    found = estimates(RECORD, "2025-Q1", as_of=date(2025, 4, 3))
    row = found["peritonitis_entered_share", "28", "exact_binomial"]
    assert row["value"] == 1.0
    late = make_record(
        pd_spells=[spell("2025-01-01")],
        peritonitis=[peritonitis("E1", "2025-03-01", recorded_on="2025-04-09")],
    )
    row = estimates(late, "2025-Q1", as_of=date(2025, 4, 3))[
        "peritonitis_entered_share", "28", "exact_binomial"
    ]
    assert (row["value"], row["note"]) == (None, "left out as unknown: 1")


@pytest.mark.parametrize(
    ("period", "band", "count"),
    [
        ("2025-Q1", "0", 1.0), ("2025-Q1", "60", 1.0),
        ("2025-Q2", "0", 2.0), ("2025-Q2", "60", 2.0),  # E2, and E3 on the quarter's last day
        ("2025-Q3", "14", 0.0),
    ],
)  # fmt: skip
def test_the_count_in_the_record_after_the_quarter(period: str, band: str, count: float):
    row = estimates(RECORD, period)["peritonitis_entered_count", band, "count"]
    assert (row["value"], row["split"]) == (count, "days_since_period_end")
    assert row["note"] == ("left out as unknown: 1" if period == "2025-Q2" else "")


def test_a_day_that_has_not_come_counts_nothing_yet():
    record = make_record(
        pd_spells=[spell("2025-01-01")],
        peritonitis=[
            peritonitis("E1", "2025-01-05", recorded_on="2025-04-14"),  # day 14 after the quarter
            peritonitis("E2", "2025-02-05", recorded_on="2025-04-15"),
        ],
    )
    found = estimates(record, "2025-Q1", as_of=date(2025, 4, 28))
    by_day = [
        found["peritonitis_entered_count", band, "count"]["value"]
        for band in ("0", "14", "28", "60")
    ]
    assert by_day == [0.0, 1.0, 2.0, None]
