"""The ratio to the year before, with limits and p of the worked example."""

from datetime import date

import pytest

from surveillance.rates.compare import rate_ratio
from tests.surveillance.estimates.found import estimate_rows, estimates
from tests.surveillance.records import cells_met, day, make_record, peritonitis, spell

AS_OF_LATER = date(2026, 3, 31)
NAME = "peritonitis_rate_ratio_to_year_before"


def record_of(before: int, now: int):
    """Ten patients for two years; one episode of each of the first patients in either year."""
    starts = [("2024-05-01", patient) for patient in range(before)]
    starts += [("2025-05-01", patient) for patient in range(now)]
    episodes = [
        peritonitis(f"E{place}", start, day(start) + 14, patient=patient)
        for place, (start, patient) in enumerate(starts)
    ]
    return make_record(
        patients=[{"patient": f"P{number}"} for number in range(10)],
        pd_spells=[spell("2024-01-01", patient=number) for number in range(10)],
        peritonitis=episodes,
        effluent_samples=[cells_met(place, start) for place, (start, _) in enumerate(starts)],
    )


def test_the_ratio_with_its_limits_p_and_counts():
    row = estimates(record_of(5, 9))[NAME, "", "exact_conditional"]
    expected = rate_ratio(9, 3650 / 365.25, 5, 3660 / 365.25, 0.95)
    assert row["value"] == pytest.approx(expected.ratio)
    assert (row["lower"], row["upper"]) == pytest.approx(expected.exact)
    counts = "9 in 10.0 patient-years, the year before 5 in 10.0"
    assert row["note"] == f"p {expected.p_central:.4g}; {counts}"


def test_no_episode_the_year_before_has_a_lower_limit_only():
    row = estimates(record_of(0, 4))[NAME, "", "exact_conditional"]
    assert (row["value"], row["upper"]) == (None, None)
    assert row["lower"] == pytest.approx(0.66, abs=0.01)  # statistics.md 2.6, zero arm


def test_the_first_year_has_none_before_it_and_quarters_are_not_asked():
    rows = [row for row in estimate_rows(record_of(1, 1)) if row["name"] == NAME]
    assert [row["period"] for row in rows] == ["2025", "2025-Q4/4q"]


def test_a_rolling_year_looks_at_the_same_quarters_a_year_earlier():
    record = record_of(2, 3)
    rows = estimate_rows(record, as_of=AS_OF_LATER)
    row = next(r for r in rows if r["name"] == NAME and r["period"] == "2026-Q1/4q")
    assert "3 in" in row["note"] and "the year before 2 in" in row["note"]
