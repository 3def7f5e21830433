"""A handbook's quarter (fixtures/published/README.md names the page), from files to its rate."""

from pathlib import Path

import pytest
from scipy.stats import chi2

from tests.published.ordinary_commands import Row, computed, exported, undivided

FOLDER = Path(__file__).parents[2] / "fixtures" / "published" / "handbook_quarter"

pytestmark = pytest.mark.django_db


@pytest.fixture
def rate(tmp_path: Path) -> Row:
    computed(FOLDER, as_of="2025-03-31")
    rows = exported(tmp_path / "measures.csv", clinic="HQ")
    return undivided(rows, "peritonitis_rate", "2025-Q1")


def test_the_census_gives_2017_patient_days_and_2_episodes(rate: Row) -> None:
    # published_checks W05: 620 + 622 + 775 = 2017, start day and end day both counted
    assert (rate["numerator"], rate["denominator"]) == ("2", "2017")
    assert rate["denominator_unit"] == "patient_days"


def test_the_rate_is_a_year_of_365_and_a_quarter_days(rate: Row) -> None:
    # W09 prints 0.36 with years of 365 days; ours is 2 x 365.25 / 2017, unrounded
    assert float(rate["value"]) == pytest.approx(2 * 365.25 / 2017, rel=1e-15)
    assert round(2 * 365 / 2017, 2) == 0.36


def test_the_limits_are_garwoods(rate: Row) -> None:
    # Garwood 1936: chi-square quantiles with 2n and 2n + 2 degrees of freedom, halved
    lower, upper = chi2.ppf(0.025, 4) / 2, chi2.ppf(0.975, 6) / 2
    assert float(rate["lower"]) == pytest.approx(lower * 365.25 / 2017, rel=1e-9)
    assert float(rate["upper"]) == pytest.approx(upper * 365.25 / 2017, rel=1e-9)
    # W09 with years of 365.25 days instead of 365: 0.362 (0.044-1.307)
    assert (float(rate["lower"]), float(rate["upper"])) == pytest.approx((0.044, 1.308), abs=6e-4)


def test_months_per_episode_are_ours_and_the_handbooks(rate: Row) -> None:
    # ours: 12 / rate; W07: 2017 days / 30.4 / 2 episodes = 33.17
    assert 12 / float(rate["value"]) == pytest.approx(33.13, abs=0.005)
    assert int(rate["denominator"]) / 30.4 / int(rate["numerator"]) == pytest.approx(
        33.17, abs=0.005
    )


def test_both_episodes_stand_in_the_case_table_as_counted(rate: Row, tmp_path: Path) -> None:
    cases = exported(tmp_path / "cases.csv", clinic="HQ", table="cases")
    assert [(row["patient"], row["counts"], row["reason"]) for row in cases] == [
        ("H03", "yes", "counted_new"),
        ("H11", "yes", "counted_new"),
    ]
