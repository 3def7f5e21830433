"""Ratios by time since training: the four people of statistics.md 2.12, patients as clusters."""

import numpy as np
import pytest

from surveillance.estimates.rows import is_of
from surveillance.estimates.training_bands import split_of_patients
from surveillance.measures.compute import facts_of
from surveillance.rates.compare import rate_ratio
from surveillance.rates.regression import poisson_regression_bands
from surveillance.rules import RULE_SETS
from tests.surveillance.estimates.found import estimates
from tests.surveillance.records import (
    AS_OF,
    cells_met,
    day,
    known_organisms,
    make_record,
    peritonitis,
    spell,
)

RATIO, EVEN = "peritonitis_rate_ratio", "peritonitis_rate_heterogeneity"
PEOPLE = ["A", "B", "C", "D"]
TRAININGS = [(0, "2025-01-01"), (0, "2025-07-01"), (1, "2025-02-10"), (2, "2024-06-01"),
             (2, "2024-12-01"), (3, "2025-05-20"), (3, "2025-08-20")]  # fmt: skip
ONSETS = [(0, "2025-03-15"), (0, "2025-08-20"), (1, "2025-09-05"), (2, "2025-11-11")]
SPELLS = [("2025-01-01", "2025-12-30"), ("2025-02-10", "2025-09-30"), ("2025-01-01", "2025-12-30"),
          ("2025-05-20", "2025-12-30")]  # fmt: skip


def record_of(onsets: list[tuple[int, str]]):
    return make_record(
        patients=[{"patient": name} for name in PEOPLE],
        pd_spells=[spell(*days, patient=place) for place, days in enumerate(SPELLS)],
        trainings=[
            {"patient": patient, "completed_on": done, "kind": "scheduled"}
            for patient, done in TRAININGS
        ],
        peritonitis=[
            peritonitis(f"E{place}", onset, day(onset) + 10, patient=patient)
            for place, (patient, onset) in enumerate(onsets)
        ],
        effluent_samples=[cells_met(place, onset) for place, (_, onset) in enumerate(onsets)],
    )


RECORD = record_of(ONSETS)


def test_days_and_episodes_of_the_four_people():
    # statistics.md 2.12 with design.md's bands, since the last training
    facts = facts_of(RECORD, known_organisms(), RULE_SETS["rule_2022"], AS_OF, None)
    split = split_of_patients(facts, "time_since_training")
    year = np.flatnonzero(is_of(facts.when.periods, ("year",)))[-1:]
    events, days = split.of((0, 4), year)
    found = list(zip(days.sum(axis=0)[:, 0], events.sum(axis=0)[:, 0], strict=True))
    assert found == [(515, 2), (406, 0), (235, 2), (30, 0), (0, 0), (0, 0)]


@pytest.mark.parametrize("band", ["0-90", "182-364", "365-729"])
def test_a_reference_without_an_episode_leaves_exact_limits_alone(band: str):
    found = estimates(RECORD)
    days, events = {"0-90": (515, 2), "182-364": (235, 2), "365-729": (30, 0)}[band]
    exact = rate_ratio(events, days / 365.25, 0, 406 / 365.25, 0.95)
    row = found[RATIO, band, "exact_conditional"]
    assert (row["value"], row["upper"]) == (None, None)
    assert row["lower"] == pytest.approx(exact.exact[0])
    assert (RATIO, band, "poisson_wald") not in found


MORE = [*ONSETS, (0, "2025-04-20"), (3, "2025-12-01"), (1, "2025-06-01")]
# 20 April is day 109 of A, 1 December day 103 of D, 1 June day 111 of B: three in 91-181.
EVENTS, DAYS = [2, 3, 2, 0], [515, 406, 235, 30]


def test_wald_limits_and_heterogeneity_are_those_of_the_regression():
    found = estimates(record_of(MORE))
    years = [days / 365.25 for days in DAYS]
    expected = poisson_regression_bands(EVENTS, years, 2)
    row = found[RATIO, "0-90", "poisson_wald"]
    assert (row["value"], row["lower"], row["upper"]) == pytest.approx(
        (expected.ratio[0], expected.lower[0], expected.upper[0])
    )
    even = found[EVEN, "", "likelihood_ratio"]
    assert even["value"] == pytest.approx(expected.lr_heterogeneity)
    assert even["note"] == f"p {expected.p:.4g}; 3 df, days without a training left out"
    assert (RATIO, "91-181", "poisson_wald") not in found


def test_limits_with_patients_as_clusters_by_hand():
    """Sum over A-D of the squares of (x - r t) / X in one band less that in the other."""
    found = estimates(record_of(MORE))
    facts = facts_of(record_of(MORE), known_organisms(), RULE_SETS["rule_2022"], AS_OF, None)
    year = np.flatnonzero(is_of(facts.when.periods, ("year",)))[-1:]
    x, t = (
        one[:, :2, 0] for one in split_of_patients(facts, "time_since_training").of((0, 4), year)
    )
    total, time = x.sum(axis=0), t.sum(axis=0)
    variance = 0.0
    for patient in range(4):
        part = [(x[patient, b] - total[b] / time[b] * t[patient, b]) / total[b] for b in (0, 1)]
        variance += (part[0] - part[1]) ** 2
    row = found[RATIO, "0-90", "poisson_clustered"]
    assert row["upper"] == pytest.approx(row["value"] * np.exp(1.959963984540054 * variance**0.5))
    assert row["lower"] == pytest.approx(row["value"] ** 2 / row["upper"])


def test_days_without_a_training_are_left_out():
    record = make_record(pd_spells=[spell("2025-01-01")])
    found = estimates(record)
    assert found[EVEN, "", "likelihood_ratio"]["value"] is None
    assert [key for key in found if key[0] == RATIO] == []
