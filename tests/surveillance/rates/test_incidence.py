"""Incidence with late entry and pauses, against loops over patients; exact limits keep theirs."""

import numpy as np
import pytest

from surveillance.rates.incidence import aalen_johansen, mean_cumulative_counts
from surveillance.rates.poisson import garwood
from tests.published.given_rows import example

Stretch = tuple[int, int, int]  # entry, exit, cause


def slow_incidence(stretches: list[Stretch], at: int) -> float:
    free, cumulative = 1.0, 0.0
    for time in range(1, at + 1):
        watched = [one for one in stretches if one[0] < time <= one[1]]
        ends = [one[2] for one in watched if one[1] == time and one[2] > 0]
        if ends:
            cumulative += free * ends.count(1) / len(watched)
            free *= 1 - len(ends) / len(watched)
    return cumulative


def slow_counts(stretches: list[Stretch], events: list[int], at: int) -> tuple[float, float]:
    """Naive and Ghosh-Lin; an event on the day of an exit comes first."""
    naive = weighted = 0.0
    staying = 1.0
    for time in range(1, at + 1):
        watched = [one for one in stretches if one[0] < time <= one[1]]
        if watched:
            naive += events.count(time) / len(watched)
            weighted += staying * events.count(time) / len(watched)
            staying *= 1 - sum(one[1] == time and one[2] > 0 for one in watched) / len(watched)
    return naive, weighted


@pytest.mark.parametrize("seed", range(20))
def test_both_agree_with_loops(seed: int):
    rng = np.random.default_rng(seed)
    size = int(rng.integers(1, 12))
    entry = rng.integers(0, 20, size)
    stretches = [
        (int(begin), int(begin + rng.integers(1, 30)), int(rng.integers(0, 3))) for begin in entry
    ]
    entry, end, cause = (np.array(column) for column in zip(*stretches, strict=True))
    for at in (5, 17, 49):
        curve = aalen_johansen(end, cause, [at], entry=entry)
        assert curve["cif_cause_1"][0] == pytest.approx(slow_incidence(stretches, at), abs=1e-12)
    inside = [int(rng.integers(one[0], one[1])) + 1 for one in stretches]
    counts = mean_cumulative_counts(inside, entry, end, cause > 0, [49])
    naive, weighted = slow_counts(stretches, inside, 49)
    assert counts["naive"][0] == pytest.approx(naive, abs=1e-12)
    assert counts["ghosh_lin"][0] == pytest.approx(weighted, abs=1e-12)


def test_columns_give_the_worked_example():
    # worked_examples mcf-01: R survfit(...)$cumhaz and mets::recurrentMarginal
    given, expected = example("mcf-01")
    people = given["patients"]
    found = mean_cumulative_counts(
        [day for one in people for day in one["episodes"]],
        [-1] * len(people),
        [one["last_day"] for one in people],
        [one["terminal"] for one in people],
        given["at"],
    )
    assert found["naive"] == pytest.approx(expected["naive"], abs=1e-10)
    assert found["ghosh_lin"] == pytest.approx(expected["ghosh_lin"], abs=1e-10)


# The chance that the limits hold the true mean, summed over the Poisson counts: no simulation.
@pytest.mark.parametrize("mean", [0.01, 0.1, 0.5, 1, 2.996, 3.689, 5, 8, 12, 24, 48.7, 100, 333])
@pytest.mark.parametrize("level", [0.8, 0.95, 0.99])
def test_exact_limits_hold_the_true_mean_at_least_as_often_as_they_say(mean: float, level: float):
    counts = np.arange(0, 1_000)
    logs = counts * np.log(mean) - mean - np.cumsum(np.log(np.maximum(counts, 1)))
    lower, upper = garwood(counts.astype(float), level)
    covered = np.exp(logs)[(lower <= mean) & (mean <= upper)].sum()
    assert covered >= level
