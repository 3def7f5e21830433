"""Numbers as people read them; what is stored is never changed, only shown shorter."""

from __future__ import annotations

import math

DAYS_PER_YEAR = 365.25  # design 2; used only to show days as patient-years
# Our choice, said on the page: below it a verdict is shown with "too little time at risk to say".
LITTLE_PATIENT_YEARS = 5.0


def whole_text(number: float) -> str:
    """A count with separated thousands."""
    return f"{number:,.0f}"


def years_text(days: float) -> str:
    """Days at risk as patient-years, one digit."""
    return f"{days / DAYS_PER_YEAR:,.1f}"


def is_little_time(days: float) -> bool:
    return days / DAYS_PER_YEAR < LITTLE_PATIENT_YEARS


def digits_that_tell(value: float, target: float | None, digits: int) -> int:
    """The least digits, from `digits` on, at which the value does not look equal to the target."""
    if target is None or math.isclose(value, target, rel_tol=1e-12):
        return digits
    for more in range(digits, 8):
        if round(value, more) != round(target, more):
            return more
    return 8


def rate_text(value: float, target: float | None = None) -> str:
    """A rate with two digits, or as many as keep it on its side of the target."""
    return f"{value:.{digits_that_tell(value, target, 2)}f}"


def percent_text(share: float, target: float | None = None) -> str:
    """A share as a whole per cent, or with the digits that keep it on its side of the target."""
    goal = None if target is None else target * 100
    return f"{share * 100:.{digits_that_tell(share * 100, goal, 0)}f} %"


def long_text(value: float) -> str:
    """A figure with four digits, for reckoning along."""
    return f"{value:,.4f}"


def number_word(number: int) -> str:
    """Small counts as words, so that a sentence reads."""
    words = ("none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
    return words[number] if 0 <= number < len(words) else whole_text(number)


def counted_text(number: int, one: str, many: str) -> str:
    return f"{whole_text(number)} {one if number == 1 else many}"
