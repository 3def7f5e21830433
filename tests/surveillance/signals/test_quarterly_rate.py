"""The quarters' chart: probability limits by hand, phases, quarters with nobody at risk."""

import pytest
from scipy import stats

from surveillance.signals.alarm import is_alarm, stands_out
from surveillance.signals.phases import Phase
from surveillance.signals.shewhart import u_chart
from tests.surveillance.records import day
from tests.surveillance.signals.watched import clinic, signals

RULE, LOW, WIDE = "quarterly_rate", "quarterly_rate_low", "quarterly_rate_overdispersed"
YEARS = 30 * 92 / 365.25  # of a quarter of 92 days


def cases(number: int, quarter: str = "2025-08") -> list:
    return [(f"{quarter}-{1 + place:02}", place, "") for place in range(number)]


def test_every_ended_quarter_has_a_row_with_exact_limits() -> None:
    rows = signals(clinic(30, cases(6)), RULE)
    assert [row["window_start"] for row in rows][:2] == ["2022-01-01", "2022-04-01"]
    assert len(rows) == 16
    row = next(row for row in rows if row["window_start"] == "2025-07-01")
    mean = 6 * 92 / 1461  # six in four years, a quarter of 92 days
    most = stats.poisson.ppf(1 - 0.00135, mean)
    assert row["expected"] == pytest.approx(mean)
    assert row["limit"] == pytest.approx(most / YEARS)
    assert row["p"] == pytest.approx(stats.poisson.sf(5, mean))
    assert row["false_alarms_per_year"] == pytest.approx(4 * stats.poisson.sf(most, mean))


def test_a_quarter_beyond_its_limit_stands_out_and_is_no_alarm() -> None:
    rows = signals(clinic(30, cases(10)), RULE)
    out = [row for row in rows if stands_out(row)]
    assert [row["window_end"] for row in out] == ["2025-09-30"]
    assert out[0]["sentence"].startswith("Above what luck explains: 10 episodes from 1 Jul 2025")
    assert not is_alarm(out[0])


def test_an_agreed_rate_is_the_centre_of_its_phase() -> None:
    phases = {"A": [Phase(day("2025-01-01"), 0.8)]}
    rows = {row["window_start"]: row for row in signals(clinic(30, cases(6)), RULE, phases=phases)}
    assert rows["2025-07-01"]["expected"] == pytest.approx(0.8 * YEARS)
    assert rows["2024-07-01"]["expected"] == 0


def test_a_low_limit_exists_only_where_even_none_would_be_a_surprise() -> None:
    phases = {"A": [Phase(day("2025-01-01"), 0.9)]}  # 6.66 to 6.80 a quarter; 6.61 is the edge
    rows = signals(clinic(30, []), LOW, phases=phases)
    starts = [row["window_start"] for row in rows]
    assert starts == ["2025-01-01", "2025-04-01", "2025-07-01", "2025-10-01"]
    assert all(map(stands_out, rows))
    assert signals(clinic(29, []), LOW, phases=phases) == []
    assert signals(clinic(30, []), LOW) == []


def test_the_wide_limits_are_laney_s() -> None:
    """Source: `u_chart`, held to worked examples uchart-01 to uchart-03."""
    record = clinic(30, cases(6) + cases(2, "2024-02") + cases(9, "2023-05"))
    rows = signals(record, WIDE)
    days = [90, 91, 92, 92] * 2 + [91, 91, 92, 92] + [90, 91, 92, 92]
    known = [30 * number / 365.25 for number in days]
    chart = u_chart([row["observed"] for row in rows], known)
    assert chart.laney_sigma_z > 1
    assert [row["limit"] for row in rows] == pytest.approx(chart.laney_upper.tolist())


def test_a_quarter_with_nobody_at_risk_is_a_gap_not_a_zero() -> None:
    pause = [{"patient": 0, "started_on": "2025-04-01", "last_day_on": "2025-06-30",
              "reason": "catheter_rest"}]  # fmt: skip
    rows = signals(clinic(1, [], pd_pauses=pause), RULE)
    row = next(row for row in rows if row["window_start"] == "2025-04-01")
    assert (row["statistic"], row["limit"], row["expected"], row["p"]) == (None, None, None, None)
    assert row["sentence"] == "Nobody was at risk from 1 Apr 2025 to 30 Jun 2025."
