"""ANZDATA, the registry of Australia and New Zealand, in eight papers and abstracts."""

import pytest

from surveillance.rates.binomial import binomial_limits
from surveillance.rates.poisson import exact_poisson_limits
from tests.published.given_rows import agrees, disagrees, published

# Events, whole, printed per cent, half a unit of its last digit.
SHARES = {
    "R17": (359, 3594, 10, 0.5),  # Barraclough 2010, AJKD 55:121; 3594 from memory
    "R19": (191, 3594, 5.3, 0.05),  # Siva 2009, CJASN 4:957; 3594 from memory
    "R20": (435, 3594, 12, 0.5),  # Fahim 2010, AJKD; 435 seen, 12 % and 3594 from memory
    "R22": (6285, 9100, 69, 0.5),  # Htay 2018, AJKD 71:814
}


@pytest.mark.parametrize(("identifier", "row"), SHARES.items())
def test_a_printed_share_follows_from_its_counts(
    identifier: str, row: tuple[int, int, float, float]
) -> None:
    events, whole, printed, near = row
    assert published(identifier)["agrees"].startswith(("yes", "n/a for the rate"))
    assert 100 * binomial_limits(events, whole, 0.95).share == pytest.approx(printed, abs=near)


def test_limits_of_the_medical_cure_share() -> None:
    """R22: Clopper-Pearson 68.10-70.01, recomputed, not printed."""
    found = binomial_limits(6285, 9100, 0.95).clopper_pearson
    assert [100 * limit for limit in found] == pytest.approx([68.10, 70.01], abs=0.005)


def test_parts_that_were_rounded_need_not_add_up() -> None:
    """R18: Barraclough 2010 prints 41, 22, 25 and 13 %; a report must not force them to 100."""
    assert published("R18")["published_value"] == "(should be 100)"
    assert 41 + 22 + 25 + 13 == 101


def test_the_rate_of_the_whole_registry() -> None:
    """R21: 0.60 a year and 3594 from memory, 6002 patient-years seen (Ghali 2011)."""
    assert agrees("R21")
    found = exact_poisson_limits(3594, 6002, 0.95)
    assert pytest.approx(0.60, abs=0.005) == 3594 / 6002
    assert (found.lower, found.upper) == pytest.approx((0.5794, 0.6187), abs=5e-5)


def test_fungal_episodes_add_up_to_their_whole() -> None:
    """R29: ANZDATA 2004-2021, fungal abstract (events.theisn.org 1452)."""
    assert agrees("R29")
    candida = (182, 99, 253)
    assert sum(candida) + 202 + 5 == 741
    found = [100 * count / 741 for count in (sum(candida), *candida, 202)]
    assert found == pytest.approx([72.1, 24.6, 13.4, 34.1, 27.3], abs=0.05)
    assert pytest.approx(69.2, abs=0.05) == 100 * 506 / 731


def per_100(events: int, years: float) -> tuple[float, float, float]:
    limits = exact_poisson_limits(events, years, 0.95)
    return 100 * events / years, 100 * float(limits.lower), 100 * float(limits.upper)


# JASN table 3 (technique failure), events a 100 person-years; P08: Lazarus 2025, MJA, abstract.
PRINTED = {
    "P01": (3452, 15945, (21.6, 20.9, 22.3)),
    "P02": (2924, 15945, (18.3, 17.7, 19.0)),
    "P03": (785, 2028, (38.7, 36.1, 41.5)),
    "P04": (505, 2028, (24.8, 22.8, 27.1)),
    "P08": (644, 2629, (24.5, 22.6, 26.4)),
}
# Which printed figures exact limits do not give: 0 the rate, 1 the lower, 2 the upper limit.
OFF = {"P01": {2}, "P02": set(), "P03": {1}, "P04": {0, 2}, "P08": {2}}


@pytest.mark.parametrize("identifier", PRINTED)
def test_exact_limits_differ_from_the_print_where_the_row_says(identifier: str) -> None:
    events, years, printed = PRINTED[identifier]
    found = per_100(events, years)
    off = {at for at in range(3) if round(found[at], 1) != printed[at]}
    assert disagrees(identifier) == bool(off)
    assert off == OFF[identifier]


def test_the_print_of_p03_comes_from_log_normal_limits() -> None:
    """P03: 36.09-41.51 by rate x exp(+-1.96 / sqrt(events))."""
    width = 1.959964 / 785**0.5
    rate = 100 * 785 / 2028
    found = [round(rate * 2.718281828 ** (sign * width), 1) for sign in (-1, 1)]
    assert found == [36.1, 41.5]


def test_the_print_of_p08_comes_from_normal_limits() -> None:
    """P08: 22.61-26.39 by the rate plus and minus 1.96 standard errors."""
    rate, width = 100 * 644 / 2629, 100 * 1.959964 * 644**0.5 / 2629
    assert [round(rate - width, 1), round(rate + width, 1)] == [22.6, 26.4]
