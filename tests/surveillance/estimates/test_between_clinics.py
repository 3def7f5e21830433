"""Standardised ratios and shrunk rates of a network's clinics, by hand and by worked examples."""

import numpy as np
import pytest

from surveillance.estimates.between_clinics import BetweenRow, between_clinics
from surveillance.signals.network_rates import Clinics
from tests.published.given_rows import example

Key = tuple[int, str]  # place, method


def found(counts: list[list[int]], years: list[list[float]]) -> dict[Key, BetweenRow]:
    """clinics x strata"""
    count, time = np.array(counts), np.array(years, dtype=float)
    one = Clinics(
        start=0, end=364, place=np.arange(len(count)), network=len(count),
        counts=count.sum(axis=1), years=time.sum(axis=1), strata_counts=count, strata_years=time,
    )  # fmt: skip
    return {(row.place, row.method): row for row in between_clinics(one, 0.40, 0.95)}


def test_seven_where_two_are_expected_by_the_networks_rates():
    """The network: 7 + 13 episodes in 5 + 45 years, 0.40 a year, so that 5 years expect 2."""
    given, expected = example("sir-06")  # source: worked_examples.csv, R as referee
    row = found([[7], [13]], [[5], [45]])[0, "midp_poisson"]
    assert given["observed"] == 7
    assert row.name == "peritonitis_standardised_ratio"
    assert row.value == pytest.approx(expected["ratio"])
    assert row.limits == pytest.approx(expected["midp"], rel=1e-7)
    assert row.note == "7 of 2 expected by modality; upper p 0.002815"


def test_each_stratum_has_the_networks_own_rate():
    """CAPD 8 in 25 years, APD 12 in 25: a clinic of 20 and 5 expects 6.4 + 2.4."""
    rows = found([[6, 4], [2, 8]], [[20, 5], [5, 20]])
    assert rows[0, "midp_poisson"].value == pytest.approx(10 / 8.8)
    assert rows[1, "midp_poisson"].value == pytest.approx(10 / 11.2)


def test_a_stratum_that_nobody_is_in_expects_nothing():
    rows = found([[6, 0], [4, 0]], [[20, 0], [30, 0]])
    assert rows[0, "midp_poisson"].value == pytest.approx(6 / 4)


def test_under_one_expected_no_ratio_is_shown():
    row = found([[1], [10]], [[1], [30]])[0, "midp_poisson"]
    assert np.isnan([row.value, *row.limits]).all()
    assert row.note == "fewer than one expected (0.355): not shown"


def test_clinics_that_chance_explains_all_get_the_networks_rate():
    """Source: statistics.md 2.15, six groups whose variance lies below chance's own."""
    given, expected = example("shrink-01")
    rows = found([[n] for n in given["events"]], [[t] for t in given["patient_years"]])
    shrunk = [rows[place, "marshall"] for place in range(6)]
    assert [row.value for row in shrunk] == pytest.approx(expected["marshall"], rel=1e-9)
    assert {row.note for row in shrunk} == {"no evidence of difference between the clinics"}
    prior = [rows[place, "gamma_prior"] for place in range(6)]
    assert [row.value for row in prior] == pytest.approx(expected["fixed_prior"], rel=1e-9)
    assert all(row.limits[0] < row.value < row.limits[1] for row in prior)
    assert prior[1].note == "chance of a rate above 0.4: 0.828"


def test_clinics_that_differ_keep_a_part_of_their_own():
    """2 and 30 in 20 years each: mean 0.8, A = 0.49 - 0.04, weight 0.45 / 0.49."""
    rows = found([[2], [30]], [[20], [20]])
    assert rows[0, "marshall"].value == pytest.approx(0.8 - 0.45 / 0.49 * 0.7)
    assert rows[1, "marshall"].value == pytest.approx(0.8 + 0.45 / 0.49 * 0.7)
    assert rows[0, "marshall"].note == ""


@pytest.mark.parametrize(
    ("counts", "years"), [([[3]], [[10]]), ([[0], [0]], [[10], [5]])], ids=["alone", "none"]
)
def test_nothing_to_hold_beside_each_other_has_no_rows(counts: list, years: list):
    assert found(counts, years) == {}
