"""Dispersion, clustering, robust and bootstrap limits of the twenty patients of statistics.md."""

import numpy as np
import pytest

from surveillance.rates.clustering import overdispersion
from tests.surveillance.estimates.found import estimate_rows, estimates
from tests.surveillance.records import cells_met, day, make_record, peritonitis

# statistics.md 2.5 (worked_examples disp-01), in whole days: years of 365.25 from day counts.
COUNTS = [0] * 12 + [1, 1, 1, 1, 2, 0, 3, 5]
DAYS = [365, 365, 365, 183, 183, 365, 365, 365, 274, 91, 365, 365, 365, 365, 183, 365, 365, 274,
        365, 365]  # fmt: skip


def record_of_counts(counts: list[int], days: list[int]):
    """Each patient from 1 January on; episodes 50 days apart, so that none is a relapse."""
    episodes = [
        peritonitis(f"E{number}", day("2025-01-10") + 50 * number, day("2025-01-20") + 50 * number,
                    patient=patient)
        for patient, count in enumerate(counts) for number in range(count)
    ]  # fmt: skip
    return make_record(
        patients=[{"patient": f"P{number:02d}"} for number in range(len(counts))],
        pd_spells=[
            {"patient": number, "started_on": "2025-01-01", "last_day_on": day("2024-12-31") + last}
            for number, last in enumerate(days)
        ],
        peritonitis=episodes,
        effluent_samples=[cells_met(place, one["onset_on"]) for place, one in enumerate(episodes)],
    )


RECORD = record_of_counts(COUNTS, DAYS)
EXPECTED = overdispersion(COUNTS, np.array(DAYS) / 365.25)


@pytest.fixture(scope="module")
def found():
    return estimates(RECORD)


def test_dispersion_is_that_of_the_patients(found):
    # near the 2.0517 of the example, whose years are not whole days
    row = found["peritonitis_rate_dispersion", "", "pearson"]
    assert row["value"] == pytest.approx(EXPECTED.phi, rel=1e-12)
    assert row["value"] == pytest.approx(2.0517, abs=0.005)


def test_robust_limits_are_those_of_the_patients(found):
    # near the 0.374-1.760 of the example
    row = found["peritonitis_rate", "", "patient_robust_hc0"]
    assert (row["lower"], row["upper"]) == pytest.approx(EXPECTED.ci_robust, rel=1e-9)
    assert (row["lower"], row["upper"]) == pytest.approx((0.374, 1.760), abs=0.005)


def test_clustering_is_the_alpha_of_the_negative_binomial(found):
    # near the 1.733 of the example; p 0.0077
    row = found["peritonitis_rate_clustering_alpha", "", "negative_binomial"]
    assert row["value"] == pytest.approx(EXPECTED.nb_alpha, rel=1e-4)
    assert row["note"].startswith("p 0.007")


def test_bootstrap_limits_lie_near_those_of_the_example(found):
    # statistics.md 2.5: 0.250-1.521, other seeds move it
    row = found["peritonitis_rate", "", "patient_bootstrap"]
    assert (row["lower"], row["upper"]) == pytest.approx((0.25, 1.51), abs=0.06)


def test_the_same_days_give_the_same_bootstrap_limits():
    rows = [row for row in estimate_rows(RECORD) if row["method"] == "patient_bootstrap"]
    again = [row for row in estimate_rows(RECORD) if row["method"] == "patient_bootstrap"]
    assert [row["period"] for row in rows] == ["2025", "2025-Q4/4q"]
    assert rows[0]["lower"] == rows[1]["lower"] == again[0]["lower"]


def test_another_clinic_draws_for_itself():
    record = record_of_counts(COUNTS, DAYS)
    renamed = make_record(("B",))
    other = type(record)(**{**vars(record), "clinics": renamed.clinics})
    mine, theirs = (
        estimates(one)["peritonitis_rate", "", "patient_bootstrap"] for one in (record, other)
    )
    assert mine["value"] == theirs["value"]
    assert mine["lower"] != theirs["lower"]


def test_without_an_episode_nothing_is_said_of_clustering():
    found = estimates(record_of_counts([0, 0, 0], [365, 365, 365]))
    for key in [
        ("peritonitis_rate_dispersion", "", "pearson"),
        ("peritonitis_rate_clustering_alpha", "", "negative_binomial"),
    ]:
        assert (found[key]["value"], found[key]["note"]) == (None, "no episode")
    for method in ("patient_robust_hc0", "patient_bootstrap"):
        row = found["peritonitis_rate", "", method]
        assert (row["value"], row["lower"], row["upper"]) == (0, None, None)


def test_counts_that_vary_less_than_by_chance_have_no_alpha():
    # worked_examples disp-02: one episode each
    found = estimates(record_of_counts([1] * 10, [365] * 10))
    row = found["peritonitis_rate_clustering_alpha", "", "negative_binomial"]
    assert (row["value"], row["note"]) == (None, "no more than by chance")
    assert found["peritonitis_rate_dispersion", "", "pearson"]["value"] == pytest.approx(0)


def test_one_patient_alone_has_no_dispersion():
    found = estimates(record_of_counts([2], [365]))
    assert found["peritonitis_rate_dispersion", "", "pearson"]["value"] is None
