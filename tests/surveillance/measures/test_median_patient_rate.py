"""The median over patients, of whom most have a rate of 0."""

import numpy as np
import pytest

from surveillance.measures.median_patient_rate import medians


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
