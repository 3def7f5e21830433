"""Band ratios with patients as clusters, against the regression written out with matrices."""

import numpy as np
import pytest

from surveillance.rates.clustered_bands import clustered_band_ratios
from surveillance.rates.regression import poisson_regression_bands
from tests.published.given_rows import example

RNG = np.random.default_rng(20260402)
YEARS = RNG.choice([0.0, 0.2, 0.5], p=[0.3, 0.4, 0.3], size=(30, 4, 2))
EVENTS = RNG.poisson(2.0 * YEARS * RNG.gamma(0.7, 1.4, size=(30, 1, 1))).astype(float)
REFERENCE = 1


def matrices(events: np.ndarray, years: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Model-based and sandwich variance of a Poisson regression with a dummy for each other band.

    As R's glm and sandwich::vcovCL(type = "HC0", cadjust = FALSE, cluster = patient).
    """
    patients, bands = events.shape
    others = [band for band in range(bands) if band != REFERENCE]
    design = np.zeros((patients, bands, bands))
    design[:, :, 0] = 1
    for column, band in enumerate(others, start=1):
        design[:, band, column] = 1
    rate = events.sum(axis=0) / years.sum(axis=0)
    mean = rate * years
    information = np.einsum("pb,pbi,pbj->ij", mean, design, design)
    scores = np.einsum("pb,pbi->pi", events - mean, design)
    bread = np.linalg.inv(information)
    return bread, bread @ scores.T @ scores @ bread


@pytest.mark.parametrize("period", [0, 1])
def test_both_errors_are_those_of_the_matrices(period: int):
    found = clustered_band_ratios(EVENTS, YEARS, REFERENCE)
    model, sandwich = matrices(EVENTS[:, :, period], YEARS[:, :, period])
    others = [band for band in range(4) if band != REFERENCE]
    wald, clustered = found.wald_error[others, period], found.clustered_error[others, period]
    assert wald == pytest.approx(np.sqrt(np.diag(model))[1:], rel=1e-10)
    assert clustered == pytest.approx(np.sqrt(np.diag(sandwich))[1:], rel=1e-10)


def test_one_patient_a_band_gives_the_worked_example():
    # worked_examples pois-01: R glm(x ~ relevel(factor(band), 2) + offset(log(T)), poisson)
    given, expected = example("pois-01")
    events, years = (np.array(given[name], dtype=float) for name in ("events", "patient_years"))
    found = clustered_band_ratios(events[None, :, None], years[None, :, None], 1)
    others = [0, 2, 3, 4]
    assert found.ratio[others, 0] == pytest.approx(expected["ratio"], rel=1e-9)
    upper = found.ratio[others, 0] * np.exp(1.959963984540054 * found.wald_error[others, 0])
    assert upper == pytest.approx(expected["upper"], rel=1e-9)
    assert found.heterogeneity[0] == pytest.approx(expected["lr_heterogeneity"], rel=1e-9)
    assert (found.df[0], found.p[0]) == (4, pytest.approx(expected["p"], rel=1e-9))


def test_a_band_without_time_is_no_band():
    events = np.array([[[2.0], [1.0], [0.0]], [[1.0], [3.0], [0.0]]])
    years = np.array([[[1.0], [1.0], [0.0]], [[2.0], [1.0], [0.0]]])
    found = clustered_band_ratios(events, years, 0)
    two = poisson_regression_bands([3, 4], [3, 2], 1)
    assert np.isnan(found.ratio[2, 0])
    assert found.heterogeneity[0] == pytest.approx(two.lr_heterogeneity, rel=1e-12)
    assert (found.df[0], found.p[0]) == (1, pytest.approx(two.p, rel=1e-12))
