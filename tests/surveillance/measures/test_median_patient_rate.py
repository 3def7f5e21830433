"""The median over patients, of whom most have a rate of 0."""

import numpy as np
import pytest

from surveillance.measures.median_patient_rate import medians
from tests.surveillance.records import cells_met, make_record, peritonitis, spell
from tests.surveillance.results import rows_of


@pytest.mark.parametrize(
    ("above", "size", "median"),
    [
        ([], 0, np.nan),
        ([], 3, 0.0),
        ([2.0], 1, 2.0),
        ([2.0], 2, 1.0),
        ([2.0], 3, 0.0),
        ([4.0, 2.0], 3, 2.0),
        ([4.0, 2.0], 4, 1.0),
        ([9.0, 4.0, 2.0], 4, 3.0),
    ],
)
def test_it_is_the_mean_of_the_middle_two(above, size, median):
    cell = np.zeros(len(above), dtype=int)
    found = medians(cell, np.array(above), np.array([size]))
    assert found == pytest.approx([median], nan_ok=True)


def test_cells_do_not_mix():
    found = medians(np.array([1, 0, 1]), np.array([6.0, 3.0, 2.0]), np.array([1, 2, 0]))
    assert found == pytest.approx([3.0, 4.0, np.nan], nan_ok=True)


def test_one_day_at_risk_with_its_episode_is_a_rate_of_its_own():
    """One episode in one day is 365.25 a year; of the two patients the other has none."""
    record = make_record(
        patients=[{"patient": "P"}, {"patient": "Q"}],
        pd_spells=[spell("2025-03-01", "2025-03-01"), spell("2025-03-01", patient=1)],
        peritonitis=[peritonitis("E", "2025-03-01")],
        effluent_samples=[cells_met(0, "2025-03-01")],
    )
    (row,) = (
        row
        for row in rows_of(record, "measures")
        if (row["measure"], row["period"]) == ("median_patient_rate", "2025-Q1")
    )
    assert (row["numerator"], row["denominator"], row["value"]) == (1, 2, 365.25 / 2)
