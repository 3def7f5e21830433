"""Cohorts by first trainer: hidden under three, without names or ranks, told apart only if real."""

import pytest
from scipy import stats

from surveillance.signals.alarm import is_alarm, stands_out
from tests.surveillance.signals.watched import clinic, signal_frame_of, signals

RULE, COHORT = "trainer_cohorts", "trainer_cohort"


def trained(trainers: list[str], episodes: dict[str, int]):
    """Ten patients of each trainer since 2022, and so many episodes of theirs in 2025."""
    rows = [
        {"patient": 10 * place + number, "completed_on": "2022-01-01", "kind": "initial",
         "trainer": trainer}
        for place, trainer in enumerate(trainers) for number in range(10)
    ]  # fmt: skip
    cases = [
        (f"2025-{1 + number:02}-11", 10 * trainers.index(trainer) + number, "")
        for trainer, count in episodes.items() for number in range(count)
    ]  # fmt: skip
    return clinic(10 * len(trainers), cases, trainings=rows)


def test_two_trainers_are_hidden() -> None:
    record = trained(["T-01", "T-02"], {"T-01": 9})
    (row,) = signals(record, RULE)
    assert (row["statistic"], row["expected"]) == (None, None)
    assert row["sentence"].startswith("Hidden: fewer than 3 trainers")
    assert signals(record, COHORT, "cohort 1") == []


def test_three_are_tested_together() -> None:
    (row,) = signals(trained(["T-01", "T-02", "T-03"], {"T-01": 10, "T-02": 1, "T-03": 1}), RULE)
    square = (6**2 + 3**2 + 3**2) / 4
    assert row["statistic"] == pytest.approx(square)
    assert row["limit"] == pytest.approx(stats.chi2.ppf(0.95, 2))
    assert row["p"] == pytest.approx(stats.chi2.sf(square, 2))
    assert stands_out(row)
    assert not is_alarm(row)
    assert "Who trained the hardest patients" in row["sentence"]


def test_chance_alone_shrinks_all_to_one_rate() -> None:
    record = trained(["T-01", "T-02", "T-03"], {"T-01": 3, "T-02": 5, "T-03": 4})
    (row,) = signals(record, RULE)
    assert row["sentence"].endswith("they cannot be told apart.")
    shrunk = [signals(record, COHORT, f"cohort {number}")[0] for number in (1, 2, 3)]
    rates = [one["statistic"] for one in shrunk]
    assert rates == pytest.approx([12 * 365.25 / (30 * 365)] * 3)
    assert not any(map(stands_out, shrunk))


def test_no_name_is_written_anywhere() -> None:
    record = trained(["Bramble", "Sorrel", "Yarrow"], {"Bramble": 4})
    text = signal_frame_of(record).astype(str).to_csv()
    assert not any(name in text for name in ("Bramble", "Sorrel", "Yarrow"))


def test_without_an_episode_nothing_differs() -> None:
    (row,) = signals(trained(["T-01", "T-02", "T-03"], {}), RULE)
    assert (row["statistic"], row["p"]) == (0, 1)
