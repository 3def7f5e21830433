"""Rates by first trainer, against the shrinkage function that the worked example checks."""

import pytest
from scipy.stats import gamma

from surveillance.rates.clustering import shrinkage
from tests.surveillance.estimates.found import estimates
from tests.surveillance.records import cells_met, day, make_record, peritonitis, spell

NAME = "peritonitis_rate"
EPISODES = {"T-01": 5, "T-02": 0, "T-03": 1}


def record_of():
    """Four patients a trainer for all of 2025; episodes 40 days apart of the first of each."""
    codes = [code for code in EPISODES for _ in range(4)]
    starts = [
        (patient * 4, f"2025-{month:02d}-15")
        for patient, number in enumerate(EPISODES.values())
        for month in range(1, 2 * number, 2)
    ]
    return make_record(
        patients=[{"patient": f"P{number:02d}"} for number in range(len(codes))],
        pd_spells=[spell("2025-01-01", patient=number) for number in range(len(codes))],
        trainings=[
            {
                "patient": place,
                "completed_on": day("2025-01-01"),
                "kind": "initial",
                "trainer": code,
            }
            for place, code in enumerate(codes)
        ],
        peritonitis=[
            peritonitis(f"E{place}", start, day(start) + 14, patient=patient)
            for place, (patient, start) in enumerate(starts)
        ],
        effluent_samples=[cells_met(place, start) for place, (_, start) in enumerate(starts)],
    )


def cohorts(method: str) -> dict[str, dict]:
    rows = estimates(record_of()).items()
    return {
        band: row for (name, band, how), row in rows
        if how == method and name == NAME and row["split"] == "first_trainer"
    }  # fmt: skip


def test_cohorts_are_pulled_to_the_clinics_own_rate():
    found = cohorts("marshall")
    years = [4 * 365 / 365.25] * 3
    expected = shrinkage(list(EPISODES.values()), years, 4, 10, 0.4)
    assert list(found) == list(EPISODES)
    assert [row["value"] for row in found.values()] == pytest.approx(list(expected.marshall))


def test_a_fixed_prior_gives_limits():
    """Gamma(4, 10): statistics.md 2.15; limits by scipy's gamma quantiles."""
    row = cohorts("gamma_prior")["T-01"]
    years = 4 * 365 / 365.25
    assert row["value"] == pytest.approx(9 / (10 + years))
    limits = gamma.ppf([0.025, 0.975], 9, scale=1 / (10 + years))
    assert [row["lower"], row["upper"]] == pytest.approx(list(limits))
