"""The closed form of the temporal scan where it is an approximation, against simulation."""

import numpy as np
import pytest

from surveillance.signals.scan import temporal_scan_p
from tests.published.given_rows import example

SETS = 20_000
IDENTIFIERS = ["scanapprox-01", "scanapprox-02", "scanapprox-03"]


@pytest.mark.parametrize("identifier", IDENTIFIERS)
def test_the_closed_form_is_a_little_too_large(identifier: str) -> None:
    given, expected = example(identifier)
    given.pop("note")
    found = temporal_scan_p(**given)
    assert not found.exact
    assert found.p == pytest.approx(expected["closed_form"], rel=1e-9)
    assert found.p > expected["p"]


@pytest.mark.parametrize("identifier", IDENTIFIERS)
def test_a_simulation_of_ours_agrees_with_the_given_one(identifier: str) -> None:
    """4.5 standard errors of 20,000 sets of cases spread evenly at random."""
    given, expected = example(identifier)
    k, n, p = given["window_count"], given["total_count"], expected["p"]
    times = np.sort(np.random.default_rng(20260401).random((SETS, n)), axis=1)
    shortest = (times[:, k - 1 :] - times[:, : n - k + 1]).min(axis=1)
    found = (shortest <= given["window_fraction"]).mean()
    assert found == pytest.approx(p, abs=4.5 * (p * (1 - p) / SETS) ** 0.5)
