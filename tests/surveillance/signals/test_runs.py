"""Run and crossing rules on a clinic's quarters."""

import pytest

from surveillance.signals.alarm import is_alarm, stands_out
from surveillance.signals.phases import Phase
from tests.surveillance.records import day
from tests.surveillance.signals.watched import clinic, signals


def quarterly(numbers: list[int]) -> list:
    """So many episodes in each quarter from 2022 on."""
    return [
        (f"{2022 + at // 4}-{3 * (at % 4) + 2:02}-{3 + 2 * number:02}", (at * 5 + number) % 40, "")
        for at, count in enumerate(numbers) for number in range(count)
    ]  # fmt: skip


def test_a_shift_is_a_long_run_with_few_crossings() -> None:
    record = clinic(40, quarterly([1, 2, 1, 2, 1, 2, 1, 2, 5, 6, 5, 6, 5, 6, 5, 6]))
    (run,), (crossed,) = signals(record, "longest_run"), signals(record, "crossings")
    assert (run["statistic"], run["limit"]) == (8, 7)  # round(log2 16) + 3
    assert (crossed["statistic"], crossed["limit"]) == (1, 4)  # the 5 % quantile of Bin(15, 1/2)
    assert stands_out(run) and stands_out(crossed)
    assert not is_alarm(run)
    assert "the rate has shifted" in run["sentence"]


def test_a_steady_series_is_quiet() -> None:
    record = clinic(40, quarterly([4, 5, 3, 4, 6, 3, 5, 4, 3, 6, 4, 5, 3, 5, 4, 3]))
    assert not stands_out(signals(record, "longest_run")[0])
    assert not stands_out(signals(record, "crossings")[0])


@pytest.mark.parametrize("rule", ["longest_run", "crossings"])
def test_few_quarters_cannot_be_judged(rule: str) -> None:
    phases = {"A": [Phase(day("2025-01-01"), 0.4)]}
    (row,) = signals(clinic(40, quarterly([4] * 16)), rule, phases=phases)
    assert (row["window_start"], row["limit"]) == ("2025-01-01", None)
    assert "too few quarters" in row["sentence"]


def test_no_episode_at_all_is_no_signal() -> None:
    (row,) = signals(clinic(5, []), "longest_run")
    assert (row["statistic"], row["limit"]) == (0, None)
