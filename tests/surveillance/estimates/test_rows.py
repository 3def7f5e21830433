"""Estimate rows stand in order and hold empty cells for what is no number."""

from datetime import date

import numpy as np

from surveillance.estimates.rows import LONGER, YEARS, Block, Cells, estimate_frame, is_of
from surveillance.periods import parse_period
from surveillance.tables import ESTIMATES
from tests.surveillance.estimates.found import estimate_rows
from tests.surveillance.records import make_record, spell

PERIODS = [parse_period(text) for text in ("2025", "2025-Q4/4q", "2025-Q4", "2025-07")]


def at(*places: tuple[int, int]) -> Cells:
    clinic, period = zip(*places, strict=True)
    return Cells(np.array(clinic), np.array(period))


def test_periods_of_a_kind():
    assert is_of(PERIODS, YEARS).tolist() == [True, True, False, False]
    assert is_of(PERIODS, LONGER).tolist() == [True, True, True, False]


def test_rows_sort_by_clinic_days_name_split_band_method_and_last_the_period():
    blocks = [
        Block("b", "m", at((0, 0), (0, 1), (0, 2)), np.arange(3)),
        Block("a", "n", at((1, 0), (0, 1)), np.arange(2)),
        Block("a", "m", at((0, 1)), np.arange(1), split="s", band=np.zeros(1, int), labels=("x",)),
    ]
    frame = estimate_frame(blocks, ["A", "B"], PERIODS).astype(object)
    assert frame[["clinic", "period", "name", "split", "method"]].agg(
        " ".join, axis=1
    ).tolist() == [
        "A 2025-Q4/4q a  n",
        "A 2025-Q4/4q a s m",
        "A 2025 b  m",
        "A 2025-Q4/4q b  m",
        "A 2025-Q4 b  m",
        "B 2025 a  n",
    ]


def test_a_boundless_limit_is_an_empty_cell():
    block = Block("a", "m", at((0, 0)), np.array([np.inf]), np.array([1.0]), np.array([np.inf]))
    row = estimate_frame([block], ["A"], PERIODS).iloc[0]
    assert np.isnan(row["value"]) and np.isnan(row["upper"])
    assert row["lower"] == 1.0


def test_a_record_has_rows_for_its_own_quarters_years_and_rolling_years():
    record = make_record(pd_spells=[spell("2024-12-30")])
    rows = estimate_rows(record, as_of=date(2025, 12, 31))
    assert list(rows[0]) == [column.name for column in ESTIMATES]
    periods = list(dict.fromkeys(row["period"] for row in rows))
    assert periods[:3] == ["2024-Q1", "2024", "2024-Q4/4q"]
    assert "2024-Q3" in periods and "2024-Q3/4q" not in periods and "2024-07" not in periods
