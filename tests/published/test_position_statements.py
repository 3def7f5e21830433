"""Conversions printed in the field's position statements and papers: rates, months and targets."""

import pytest

from surveillance.rates.poisson import crude_rate
from surveillance.rules import RULE_SETS
from tests.published.given_rows import agrees, published

DAYS_PER_YEAR = 365.25
DAYS_PER_MONTH = DAYS_PER_YEAR / 12


def rate_of(episodes: float, months: float) -> float:
    return float(crude_rate(episodes, months * DAYS_PER_MONTH, DAYS_PER_YEAR).rate)


def months_between(rate: float) -> float:
    return float(crude_rate(rate, DAYS_PER_YEAR, DAYS_PER_YEAR).months_per_episode)


# Figure, printed, half a unit of its last digit.
PRINTED = {
    "U02": (rate_of(1, 18), 0.67, 0.005),  # ISPD 2010 ceiling, read in a slide deck
    "U03": (months_between(0.06) / 12, 17, 0.5),  # ISPD 2011, Piraino, first paragraph
    "U04": (months_between(1.66), 7, 0.5),  # the same paragraph
    "U06": (rate_of(1, 41), 0.29, 0.005),  # Figueiredo 2015, BRAZPD II, abstract
}


@pytest.mark.parametrize(("identifier", "row"), PRINTED.items())
def test_a_printed_conversion_is_ours(identifier: str, row: tuple[float, float, float]) -> None:
    found, printed, near = row
    assert agrees(identifier)
    assert found == pytest.approx(printed, abs=near)


def test_the_slide_words_the_ceiling_upside_down() -> None:
    """U02: "once per 0.67 patient-year" would be 8 months, not 18."""
    assert rate_of(1, 0.67 * 12) == pytest.approx(1.49, abs=0.005)


def test_the_target_of_2022_is_an_episode_in_thirty_months() -> None:
    """U07: 0.40 a year; derived, not printed."""
    assert published("U07")["published_value"] == "30 patient-months per episode"
    target = RULE_SETS["rule_2022"].targets["peritonitis_rate"].value
    assert months_between(target) == pytest.approx(30)
