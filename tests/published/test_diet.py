"""Epi diet (Clayton & Hills 1993) and DMlate: no package carries their rows, their counts do."""

import pytest

from surveillance.rates.compare import rate_ratio
from surveillance.rates.poisson import crude_rate, exact_poisson_limits, midp_poisson_limits
from tests.published.given_rows import example

# Printed a thousand patient-years, from memory; the counts stand in the rows.
PRINTED = {"diet-01": 9.99, "diet-02": 13.60}


@pytest.mark.parametrize("identifier", PRINTED)
def test_rate_and_limits_follow_from_the_counts(identifier: str) -> None:
    # R: poisson.test(sum(chd), sum(dox - doe) / 365.25)
    given, expected = example(identifier)
    found = crude_rate(given["events"], given["days"], 365.25)
    assert found.patient_years == pytest.approx(expected["patient_years"], rel=1e-7)
    assert 1000 * found.rate == pytest.approx(expected["rate_per_1000"], rel=1e-7)
    assert 1000 * found.rate == pytest.approx(PRINTED[identifier], abs=0.005)
    for name, limits in (("exact", exact_poisson_limits), ("midp", midp_poisson_limits)):
        two = limits(given["events"], found.patient_years, 0.95)
        assert [1000 * two.lower, 1000 * two.upper] == pytest.approx(expected[name], rel=1e-7)


def test_high_over_low_energy_follows_from_the_counts() -> None:
    # diet-04: R's poisson.test; printed ratio 0.52, from memory
    given, expected = example("diet-04")
    given.pop("dataset")
    found = rate_ratio(**given, level=0.95)
    assert found.ratio == pytest.approx(expected["ratio"], rel=1e-6)
    for name in ("exact", "p_central", "midp", "p_midp"):
        assert getattr(found, name) == pytest.approx(expected[name], rel=1e-6)


def test_ages_add_up_to_the_whole_as_printed() -> None:
    """Of diet-05 only this: the split itself needs the men's dates (see test_coverage.py)."""
    _, expected = example("diet-05")
    _, whole = example("diet-01")
    assert sum(expected["events"]) == 46
    assert sum(expected["person_years"]) == pytest.approx(whole["patient_years"], rel=1e-9)
    # 6/907.0, 18/2107.0, 22/1493.3 printed, from memory
    assert [round(years, 1) for years in expected["person_years"][1:]] == [907.0, 2107.0, 1493.3]


def test_years_since_insulin_add_up_to_the_whole() -> None:
    """Of dmlate-01 only this, likewise; 54,273.27 person-years and 2,499 deaths from memory."""
    _, expected = example("dmlate-01")
    assert sum(expected["deaths"]) == expected["total_deaths"] == 2499
    assert sum(expected["person_years"]) == pytest.approx(expected["total_person_years"], rel=1e-9)
    assert expected["total_person_years"] == pytest.approx(54273.27, abs=0.005)
