"""How many lines are watched, and how often luck raises one of them."""

import pytest

from surveillance.signals.looks import network_looks_block
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


def test_a_network_s_looks_are_those_of_its_clinics_together() -> None:
    """Six clinics at once in seven years each: about one a year somewhere. statistics.md 2.22."""
    block = network_looks_block(6, 0, [0.15] * 6)
    assert block.false_alarms_per_year == pytest.approx(0.9)
    assert block.observed == 18 * 6
    assert "in some clinic, about once in 1.1 years" in block.sentence[0]
