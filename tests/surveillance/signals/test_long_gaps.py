"""Long stretches without an episode, on the clock of patient-days."""

import pytest

from surveillance.signals.alarm import is_alarm, stands_out
from surveillance.signals.phases import Phase
from surveillance.signals.shewhart import g_chart, t_chart
from tests.surveillance.records import day, make_record
from tests.surveillance.signals.watched import clinic, signals

RULE, T_RULE = "long_gap", "long_gap_t_chart"
# Ten patients, an episode every month of 2022 and 2023, then none for two years.
MONTHLY = [
    (f"{year}-{month:02}-15", month % 10, "") for year in (2022, 2023) for month in range(1, 13)
]


def test_the_clock_counts_patient_days_and_two_of_a_day_are_no_gap() -> None:
    twice = [("2025-06-01", 0, ""), ("2025-06-01", 1, "")]
    (row,) = signals(clinic(10, [*twice, ("2025-07-01", 2, "")], began="2025-01-01"), RULE)
    assert row["statistic"] == 10 * 184  # 1 July to 31 December
    assert row["window_start"] == "2025-07-01"
    assert row["limit"] is None
    assert "too few episodes so far" in row["sentence"]


def test_a_long_gap_stands_out_but_is_no_alarm() -> None:
    (row,) = signals(clinic(10, MONTHLY), RULE)
    assert row["statistic"] == 10 * (day("2026-01-01") - day("2023-12-15"))
    assert stands_out(row)
    assert not is_alarm(row)
    assert "Find out what went right" in row["sentence"]


def test_the_limits_are_those_of_the_charts() -> None:
    """Source: `g_chart` and `t_chart`, held to the worked examples gchart-, tchart-."""
    onsets = [day(onset) for onset, _, _ in MONTHLY]
    edges = [day("2022-01-01"), *onsets]
    closed = [10 * (after - before) for before, after in zip(edges, onsets, strict=False)]
    (row,) = signals(clinic(10, MONTHLY), RULE)
    assert row["limit"] == g_chart(sum(closed) / len(closed)).probability_limits[2]
    (t_row,) = signals(clinic(10, MONTHLY), T_RULE)
    assert t_row["limit"] == pytest.approx(t_chart(closed).upper)


def test_an_agreed_rate_gives_a_limit_without_any_episode() -> None:
    phases = {"A": [Phase(day("2022-01-01"), 0.4)]}
    (row,) = signals(clinic(10, []), RULE, phases=phases)
    assert row["limit"] == g_chart(365.25 / 0.4).probability_limits[2]
    assert row["false_alarms_per_year"] == pytest.approx(0.00135 * 4, rel=0.01)
    assert signals(clinic(10, []), T_RULE, phases=phases) == []


def test_an_earlier_gap_beyond_the_limit_keeps_its_row() -> None:
    rows = signals(clinic(10, [*MONTHLY, ("2025-12-20", 3, "")]), RULE)
    assert [row["window_end"] for row in rows] == ["2025-12-20", "2025-12-31"]
    assert [stands_out(row) for row in rows] == [True, False]


def test_nobody_at_risk_has_a_running_gap_of_nothing() -> None:
    record = make_record(catheters=[{"catheter": "C1", "inserted_on": "2025-05-05"}])
    (row,) = signals(record, RULE)
    assert (row["statistic"], row["limit"]) == (0, None)
