"""Bands against a reference: what cannot be compared is refused."""

import pytest

from surveillance.rates.regression import poisson_regression_bands


def test_one_band_without_time_at_risk_is_refused():
    with pytest.raises(ValueError, match="every band needs time at risk"):
        poisson_regression_bands([1, 2], [3, 0], 1)


@pytest.mark.parametrize("reference", [0, 3])
def test_a_reference_that_is_no_band_is_refused(reference: int):
    with pytest.raises(ValueError, match="from 1 to 2"):
        poisson_regression_bands([1, 2], [3, 4], reference)
