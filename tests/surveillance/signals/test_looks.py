"""How many lines are watched, and how often luck raises one of them."""

import pytest

from tests.surveillance.records import make_record
from tests.surveillance.signals.watched import clinic, signal_frame_of, signals

PSEUDOMONAS = "Pseudomonas aeruginosa"


def test_the_looks_add_up_the_newest_line_of_every_alarm() -> None:
    record = clinic(30, [("2025-05-01", 1, PSEUDOMONAS), ("2023-05-01", 2, "Escherichia coli")])
    frame = signal_frame_of(record)
    newest = frame.groupby(["rule", "band"], observed=True)["false_alarms_per_year"].last()
    (row,) = signals(record, "looks")
    together = newest["peritonitis_cusum"].sum() + newest["organism_cluster"].sum()
    assert row["false_alarms_per_year"] == pytest.approx(together)
    assert row["observed"] == 1 + len(newest["organism_cluster"]) == 18
    assert row["sentence"].startswith("18 lines are watched here for alarms")


def test_nothing_dated_is_not_looked_at() -> None:
    assert signals(make_record(), "looks") == []
