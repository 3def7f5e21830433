"""Numbers for people: short, but never so short that a verdict looks wrong."""

import pytest

from reports.rate_report.number_text import is_little_time, percent_text, rate_text, years_text


@pytest.mark.parametrize(
    ("value", "target", "shown"),
    [
        (0.344003, 0.40, "0.34"),
        (0.4049, 0.40, "0.405"),
        (0.39996, 0.40, "0.39996"),
        (0.40, 0.40, "0.40"),
        (0.3951, None, "0.40"),
    ],
)
def test_a_rate_has_the_digits_that_keep_it_on_its_side_of_the_target(
    value: float, target: float | None, shown: str
) -> None:
    assert rate_text(value, target) == shown


@pytest.mark.parametrize(
    ("share", "target", "shown"),
    [(0.8125, 0.80, "81 %"), (0.8012, 0.80, "80.1 %"), (1 / 6, 0.15, "17 %"), (0.8, 0.8, "80 %")],
)
def test_a_share_does_too(share: float, target: float, shown: str) -> None:
    assert percent_text(share, target) == shown


def test_five_patient_years_are_enough_and_a_day_less_is_not() -> None:
    assert not is_little_time(5 * 365.25)
    assert is_little_time(5 * 365.25 - 1)


def test_days_are_shown_as_patient_years() -> None:
    assert years_text(18050) == "49.4"
