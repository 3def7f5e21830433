"""Measure rows: value, limits, target and verdict (design 3.3)."""

from datetime import date

import numpy as np
import pytest

from surveillance.measures import MEASURES
from surveillance.measures.rows import NAMES, Labels, Rows, in_order, measure_frame
from surveillance.periods import parse_period
from surveillance.rules import RULE_SETS

PERIODS = [parse_period(text) for text in ("2025-Q3", "2025-Q3/4q")]


def made(measure, numerator, denominator, period=0, split="", rule_set="rule_2022"):
    one = np.array([0])
    rows = Rows(
        clinic=one, period=one + period, measure=one + NAMES.index(measure),
        split=one + ("", "trainer").index(split), band=one, numerator=one + numerator,
        denominator=one + denominator, value=np.array([np.nan]), splits=("", "trainer"),
        bands=("",),
    )  # fmt: skip
    labels = Labels(["A"], PERIODS, RULE_SETS[rule_set], date(2025, 9, 30))
    return measure_frame(in_order(rows, PERIODS), labels).iloc[0]


def test_the_handbook_quarter():
    """2 episodes in 2017 days: 0.362 (0.044-1.31); published_checks W05-W09, rate-02, exact-17."""
    row = made("peritonitis_rate", 2, 2017)
    assert row["value"] == 2 * 365.25 / 2017
    assert (row["lower"], row["upper"]) == pytest.approx((0.04386, 1.3083), abs=1e-4)
    assert row["verdict"] == "meets_uncertain"


@pytest.mark.parametrize(
    ("measure", "numerator", "denominator", "period", "verdict"),
    [
        ("peritonitis_rate", 8, 7305, 0, "meets_uncertain"),  # exactly 0.40: no more than 0.40
        ("peritonitis_rate", 9, 7305, 0, "misses_uncertain"),
        ("peritonitis_rate", 0, 73050, 0, "meets"),
        ("peritonitis_rate", 90, 7305, 0, "misses"),
        ("peritonitis_rate", 0, 0, 0, "no_data"),
        ("peritonitis_free_share", 80, 100, 1, "misses_uncertain"),  # more than 80 %
        ("peritonitis_free_share", 80, 100, 0, ""),  # years only
        ("culture_negative_share", 15, 100, 0, "misses_uncertain"),  # less than 15 %
        ("tunnel_infection_rate", 3, 100, 0, ""),
    ],
)
def test_the_verdict_is_by_the_unrounded_value(measure, numerator, denominator, period, verdict):
    assert made(measure, numerator, denominator, period)["verdict"] == verdict


def test_bands_have_no_target():
    row = made("peritonitis_rate", 2, 2017, split="trainer")
    assert np.isnan(row["target"]) and row["verdict"] == ""


def test_without_a_denominator_there_is_no_value_but_the_interval_stays_named():
    row = made("culture_negative_share", 0, 0)
    assert np.isnan([row["value"], row["lower"], row["upper"]]).all()
    assert (row["level"], row["interval"], row["target"]) == (0.95, "exact_binomial", 0.15)


def test_the_median_has_no_limits():
    row = made("median_patient_rate", 2, 9)
    assert np.isnan(row["level"]) and row["interval"] == ""


def test_every_target_names_a_measure():
    for rule_set in RULE_SETS.values():
        assert set(rule_set.targets) <= set(MEASURES)
