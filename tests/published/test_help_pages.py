"""Intervals printed on help pages of statistics software, Byar and one-sided forms among them."""

from collections.abc import Callable
from math import sqrt

import pytest
from scipy.special import ndtri

from surveillance.rates.poisson import exact_poisson_limits
from tests.published.given_rows import agrees, disagrees, example, published

Interval = tuple[float, float]

# Events, patient-years, printed limits.
LIMITS = {
    "P09": (14, 400, 0.019135, 0.058724),  # a general package's example, seen
    "P12": (137, 24.19893, 4.7531, 6.6927),  # R poisson.test; inputs seen, digits from memory
}


@pytest.mark.parametrize(("identifier", "row"), LIMITS.items())
def test_printed_exact_limits(identifier: str, row: tuple[int, float, float, float]) -> None:
    events, years, lower, upper = row
    found = exact_poisson_limits(events, years, 0.95)
    assert agrees(identifier)
    assert (found.lower, found.upper) == pytest.approx((lower, upper), rel=3e-5)


def test_zero_events_have_the_two_sided_upper_limit() -> None:
    """P13: R epitools: 3.689 two-sided; the one-sided 2.996 is the two-sided 90 % limit."""
    assert agrees("P13")
    assert exact_poisson_limits(0, 1, 0.95).upper == pytest.approx(3.689, abs=5e-4)
    assert exact_poisson_limits(0, 1, 0.90).upper == pytest.approx(2.996, abs=5e-4)


def cubed(count: float, z: float) -> float:
    return count * (1 - 1 / (9 * count) + z / (3 * sqrt(count))) ** 3


def byar_classic(events: int, years: float) -> Interval:
    z = float(ndtri(0.975))
    return (cubed(events, -z) if events else 0.0) / years, cubed(events + 1, z) / years


def byar_half(events: int, years: float) -> Interval:
    """The form with a half added at both ends: below 0 at no event."""
    z = float(ndtri(0.975))
    return cubed(events + 0.5, -z) / years, cubed(events + 0.5, z) / years


@pytest.mark.parametrize("identifier", ["byar-01", "byar-02", "byar-03", "byar-04"])
@pytest.mark.parametrize(("name", "form"), [("classic", byar_classic), ("half", byar_half)])
def test_byar_is_two_things(
    identifier: str, name: str, form: Callable[[int, float], Interval]
) -> None:
    # R: epitools::pois.byar and the classic formula
    given, expected = example(identifier)
    found = form(given["events"], given["patient_years"])
    assert found == pytest.approx(expected[name], rel=1e-9)


def test_a_page_prints_the_half_form_as_byar() -> None:
    """P11: R DescTools PoissonCI, 196 in 280: 0.6070833-0.8032497."""
    assert disagrees("P11")
    printed = (0.6070833, 0.8032497)
    assert byar_half(196, 280) == pytest.approx(printed, abs=5e-8)
    assert byar_classic(196, 280) != pytest.approx(printed, abs=1e-3)
    assert "classic Byar" in published("P11")["recomputed"]


@pytest.mark.parametrize("identifier", ["exact1-01", "exact1-03"])
def test_a_one_sided_limit_is_the_two_sided_one_at_twice_the_error(identifier: str) -> None:
    # R: poisson.test(x, T, alternative = "greater") and "less"
    given, expected = example(identifier)
    found = exact_poisson_limits(given["events"], given["patient_years"], 2 * given["level"] - 1)
    assert found.lower == pytest.approx(expected["lower_only"], rel=1e-9)
    assert found.upper == pytest.approx(expected["upper_only"], rel=1e-9)
