"""Clinics beside each other: limits, widening, ratios; and none ranked."""

import numpy as np
import pytest

from surveillance.signals.alarm import is_alarm
from surveillance.signals.funnel import funnel_limits_exact
from surveillance.signals.network_rates import Clinics, network_signals
from surveillance.signals.rows import signal_frame
from tests.surveillance.records import day

EIGHT = ([4, 9, 22, 6, 2, 15, 11, 10], [18, 31, 40, 12, 14, 55, 16, 25])  # statistics.md 2.8


def rows(
    counts: list[int], years: list[float], strata: list | None = None
) -> dict[str, list[dict]]:
    one = Clinics(
        start=day("2025-01-01"), end=day("2025-12-31"), place=np.arange(len(counts)),
        network=len(counts), counts=np.array(counts), years=np.array(years, dtype=float),
        strata_counts=np.array(strata[0] if strata else [[count] for count in counts]),
        strata_years=np.array(strata[1] if strata else [[time] for time in years], dtype=float),
    )  # fmt: skip
    blocks = list(network_signals(one))
    if not blocks:
        return {}
    names = [*(f"C{place}" for place in range(len(counts))), "Network"]
    found: dict[str, list[dict]] = {}
    for row in signal_frame(blocks, names).to_dict("records"):
        found.setdefault(row["rule"], []).append(row)
    return found


def test_eight_clinics_do_not_widen_the_funnel() -> None:
    """Source: statistics.md 2.8, phi 1.491 below 2."""
    found = rows(*EIGHT)
    (spread,) = found["funnel_overdispersion"]
    assert spread["clinic"] == "Network"
    assert (spread["statistic"], spread["limit"]) == (pytest.approx(1.491, abs=5e-4), 2)
    exact = funnel_limits_exact(EIGHT[1], 79 / 211, [0.999]).limits[:, 0]
    assert [row["limit"] for row in found["funnel"]] == pytest.approx(exact.tolist())


def test_clinics_that_differ_too_much_widen_it() -> None:
    counts, years = [2, 3, 30, 4, 28, 3, 25, 2], [20.0] * 8
    found = rows(counts, years)
    plain = funnel_limits_exact(years, sum(counts) / 160, [0.999]).limits[:, 0]
    assert all(row["limit"] > edge for row, edge in zip(found["funnel"], plain, strict=True))
    assert "widened" in found["funnel"][0]["sentence"]


def test_a_clinic_beyond_the_funnel_is_an_alarm_with_its_luck_for_all() -> None:
    found = rows([40, 9, 9, 10], [30.0, 30.0, 30.0, 30.0])
    assert [row["clinic"] for row in found["funnel"] if is_alarm(row)] == ["C0"]
    assert "some clinic of these 4 about once in" in found["funnel"][0]["sentence"]
    assert "not ranked" in found["funnel"][1]["sentence"]


def test_a_ratio_stands_on_the_clinic_s_own_mix() -> None:
    strata = ([[6, 4], [2, 8]], [[20.0, 5.0], [5.0, 20.0]])
    found = rows([10, 10], [25.0, 25.0], strata)
    expected = 8 / 25 * 20 + 12 / 25 * 5
    assert found["standardised_ratio"][0]["expected"] == pytest.approx(expected)
    assert found["standardised_ratio"][0]["statistic"] == pytest.approx(10 / expected)


def test_no_ratio_under_one_expected() -> None:
    small = rows([1, 10], [1.0, 30.0])["standardised_ratio"][0]
    assert small["statistic"] != small["statistic"]
    assert small["sentence"] == "Fewer than one episode is expected here: no ratio is shown."


@pytest.mark.parametrize(("counts", "years"), [([3], [10.0]), ([0, 0], [10.0, 5.0]), ([], [])])
def test_nothing_to_hold_beside_each_other_has_no_rows(counts: list, years: list) -> None:
    assert rows(counts, years) == {}
